package entry

import (
	"cmp"
	"strings"
)

// Entry is a care entry that keeps the rules of its kind. Its fields stand in
// the order of the table of kinds.
type Entry struct {
	ID      string // UUID, lower case
	Infant  string // empty on an entry of the whole unit
	Kind    string
	At      Moment
	Charted Moment // zero until it is offered or stamped
	By      string
	Fields  []Field
	// Corrected is a correction's entry: kind, at and fields; nil on other kinds.
	Corrected *Entry
	// Offered says that charted was given, not stamped at acceptance.
	Offered bool
	// Carried says that it was read back from an export of a record that held it.
	Carried bool
	Line    int
	// isClean says that clean changes nothing. False says nothing.
	isClean bool
}

// Text is a text or word field, empty when it was not charted.
func (e *Entry) Text(name string) string {
	if v := fieldOf(e.Fields, name); v != nil {
		return v.Text
	}
	return ""
}

// Has says whether the field was charted.
func (e *Entry) Has(name string) bool {
	v := fieldOf(e.Fields, name)
	return v != nil && v.Type != Absent
}

// Flag is a true-or-false field, false when it was not charted.
func (e *Entry) Flag(name string) bool { return Lookup(e.Fields, name).Bool }

// List is a list field.
func (e *Entry) List(name string) []Value { return Lookup(e.Fields, name).List }

// Number is a numeric field and whether it was charted.
func (e *Entry) Number(name string) (Decimal, bool) { return NumberOf(Lookup(e.Fields, name)) }

// NumberOf is the number that a value holds, and whether it holds one.
func NumberOf(v Value) (Decimal, bool) {
	if v.Type != NumberValue {
		return Decimal{}, false
	}
	d, err := ParseDecimal(v.Text)
	return d, err == nil
}

// Moment is an instant field and whether it was charted.
func (e *Entry) Moment(name string) (Moment, bool) {
	v := Lookup(e.Fields, name)
	if v.Type != TextValue {
		return Moment{}, false
	}
	m, err := ParseMoment(v.Text)
	return m, err == nil
}

// Reference is the id of another entry, lower case.
func (e *Entry) Reference(name string) string { return strings.ToLower(e.Text(name)) }

// About are the keys of the infants that the entry is of or, as a handover does, names.
func (e *Entry) About() []string {
	out := []string{}
	if e.Infant != "" {
		out = append(out, e.Infant)
	}
	for _, key := range e.List("infants") {
		out = append(out, key.Text)
	}
	return out
}

// Names says whether a list of keys or words holds one.
func (e *Entry) Names(list, word string) bool {
	for _, v := range e.List(list) {
		if v.Text == word {
			return true
		}
	}
	return false
}

// Says is the entry that tells: of a correction what is to stand, else the entry itself.
func (e *Entry) Says() *Entry {
	if e.Corrected != nil {
		return e.Corrected
	}
	return e
}

// Amends says whether the entry is a correction or a retraction.
func (e *Entry) Amends() bool { return e.Kind == "correction" || e.Kind == "retraction" }

// Amendments are the corrections and retractions among entries, and the retractions of
// corrections, by the id of the original, in the order given.
func Amendments(entries []*Entry) map[string][]*Entry {
	original := map[string]string{} // of a correction
	for _, e := range entries {
		if e.Kind == "correction" {
			original[e.ID] = e.Reference("of")
		}
	}
	of := map[string][]*Entry{}
	for _, e := range entries {
		if e.Amends() {
			id := e.Reference("of")
			id = cmp.Or(original[id], id)
			of[id] = append(of[id], e)
		}
	}
	return of
}
