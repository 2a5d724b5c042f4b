package handover

import "slices"

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

// attentionTable is what a person must see, in the order it is told; of one thing
// what is now stands before what is to be known.
var attentionTable = []struct {
	what string
	rows func(*look) []Attention
}{
	{"conflict", (*look).conflicts},
	{"alarm", (*look).alarms},
	{"episode", (*look).episodes},
	{"spo2", (*look).spo2},
	{"support", (*look).support},
	{"tube", (*look).tubes},
	{"interface", (*look).face},
	{"skin", (*look).skin},
	{"outlook", (*look).outlook},
	{"overdue", (*look).overdue},
	{"warmth", (*look).warmth},
	{"sensor", (*look).sensors},
	{"bonnet", (*look).bonnet},
	{"rule", (*look).rules},
	{"read-out", (*look).readOut},
	{"missing", (*look).missing},
	{"late", (*look).lates},
	{"old", (*look).oldFacts},
	{"handing-over", (*look).handingOver},
	{"new", (*look).newcomer},
	{"look-alike", (*look).lookAlikes},
}

// attention is what a person must see of the infant, made after everything else.
func (r *reading) attention(s *Summary, u *unitReading, late int, ward map[string]*Summary) []Attention {
	l := &look{r, s, u, late, ward}
	out := []Attention{}
	for _, x := range attentionTable {
		rows := x.rows(l)
		slices.SortStableFunc(rows, func(a, b Attention) int {
			return rankIn([]string{Now, Know}, a.Level) - rankIn([]string{Now, Know}, b.Level)
		})
		for _, row := range rows {
			row.What = x.what
			out = append(out, row)
		}
	}
	return out
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
