package entry

import "strings"

// Kind describes one kind of care entry, as data.
type Kind struct {
	Name    string
	Label   string // as a form and a column say it
	Help    string
	Ward    Belongs
	Fields  []Spec
	OneOf   []string    // exactly one of these fields
	AnyOf   []string    // at least one of these fields
	NotBoth [2]string   // at most one of these two fields
	Less    [][2]string // of each pair the first below the second, where both are there
}

// Belongs says whose entry a kind is.
type Belongs int8

// An entry is an infant's, the whole unit's, or may be either.
const (
	OfInfant Belongs = iota
	OfUnit
	OfEither
)

// Spec describes one field of a kind.
type Spec struct {
	Name     string
	Label    string
	Help     string
	Type     Type
	Unit     string   // as printed: cmH2O, %, L/min
	Words    []string // allowed words; with List the unit's own may be further ones
	Min, Max string   // range, ends in; decimal text
	Longest  int      // characters of a text
	Lines    bool     // a text may hold line breaks
	// Identifies: the text is a number or label that tells one infant, stay, place or
	// device from another. It is compared, and kept, as OneForm has it.
	Identifies bool
	Private    bool // may hold a name: never shown in an error
	Required   bool
	When       When   // required when another field has one of these words
	Of         []Spec // fields of an object, or of a list's items
	Item       Type   // of a list whose items are plain
	Unique     string // a list's items differ in this field
	List       string // the unit's own list that it must be in when taken: size, bonnet, step, care or safety
}

// When makes a field required by another's word; the zero value never does.
type When struct {
	Field string
	Is    []string
}

// Type is what a field holds.
type Type int8

// The types of fields.
const (
	Text      Type = iota
	Word           // one of Words, or of the unit's own List
	Number         // decimal, up to 4 decimals
	Whole          // no decimals
	Flag           // true or false
	Instant        // RFC 3339 with an offset
	Birth          // an instant, or a date
	Key            // 1 to 64 of A-Za-z0-9._-
	Reference      // the id of an entry
	Gestation      // completed weeks + days 0 to 6 ("26+3"), or weeks ("26")
	Interval       // a duration (90m, 4h, 1h30m, 7d), none, or policy
	Object         // Of
	List           // of Of, or of Item
	PerInfant      // an object: the infant's key to a list of Words
	EntryType      // a correction's entry: kind, at and the kind's fields
)

// KindOf is the description of a kind.
func KindOf(name string) (*Kind, bool) {
	for i := range Kinds {
		if Kinds[i].Name == name {
			return &Kinds[i], true
		}
	}
	return nil, false
}

// InSentence is a label as it stands within a sentence: with a small first letter, but
// for pH, SpO2 and their like.
func InSentence(label string) string {
	first, _, _ := strings.Cut(label, " ")
	if first == "" || strings.ToLower(first[1:]) != first[1:] || strings.ContainsAny(first, "0123456789") {
		return label
	}
	return strings.ToLower(label[:1]) + label[1:]
}

// Spec is the description of the kind's field.
func (k *Kind) Spec(field string) (*Spec, bool) { return SpecOf(k.Fields, field) }

// SpecOf is the description of the field of a name, false when there is none.
func SpecOf(fields []Spec, name string) (*Spec, bool) {
	for i := range fields {
		if fields[i].Name == name {
			return &fields[i], true
		}
	}
	return nil, false
}
