package handover

// The levels of what a person must see.
const (
	Now  = "now"  // marked on every face: it needs somebody
	Know = "know" // it is to be known
)

// look is what the rows of attention are made from.
type look struct {
	*reading
	s    *Summary
	unit *unitReading
	late int                 // entries of the infant that arrived or were written late
	ward map[string]*Summary // by infant
}

// of names the entry that a row is about.
func (a Attention) of(s Source) Attention {
	a.At, a.Entry = s.At, s.Entry
	return a
}

func now(text, path string) Attention  { return Attention{Level: Now, Text: text, Path: path} }
func know(text, path string) Attention { return Attention{Level: Know, Text: text, Path: path} }

// one is a list of one row.
func one(a Attention) []Attention { return []Attention{a} }
