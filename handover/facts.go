package handover

import (
	"strings"
	"time"

	"cotline/handover/entry"
)

// The table of facts is the single source of what a handover tells: infantFacts and
// wardFacts (facts_infant.go, facts_ward.go) with their parts in facts_first.go,
// facts_breathing.go, facts_body.go, facts_care.go and facts_charted.go; rows are made
// by the constructors in facts_make.go and facts_source.go. A row says what a fact is
// called, how it is read of the Summary and where it comes from; its path is the names
// down to it. The JSON form, the sheet of facts and the words of paths follow from the
// row alone; the document's figures add a code to its path, the rows of the page a
// sentence. Which paths are told as gaps, as changes and as not computed is a list of
// the contract's own, with a rule for each: gaps.go, changes.go, not_computed.go.
//
// Where a row says nothing else, a fact comes from the entry that its owner comes
// from: Summary parts that embed Source do, others come from the whole record.

// FactSpec describes one fact: a row of the table of facts, as Spec is one of the
// table of kinds. Rows stand in the order of the JSON form.
type FactSpec struct {
	Name   string     // its key in the JSON form; empty: its parts stand among its owner's
	Label  string     // how a sentence names it among gaps and changes
	Unit   string     // as printed
	Item   string     // of a list with keys: what an item is called after its key
	List   bool       // it has items
	Of     []FactSpec // parts of an object, or of each item of a list
	Apart  bool       // no line on the sheet of facts: a column or another line tells it
	Quiet  bool       // no line there that only says that it does not apply or is empty
	fields string     // the kind of entry whose fields its parts are named and described by
	record bool       // it comes from the whole record, whatever its owner comes from
	read   func(owner any, f *Fact)
}

// State keeps apart what a fact can be.
type State int8

// The zero value is a fact of which there is nothing to tell, and nothing missing.
const (
	Unsaid State = iota
	Charted
	NotCharted
	NotApplicable
)

// Fact is a row of the table as it was read of one handover.
type Fact struct {
	*FactSpec
	Path   string // settings.pressureCmH2O, tubes.feeding.sizeFr
	State  State
	Why    string // of a figure left out that would apply
	Remark string // the unit, or what else stands beside the value
	// Value is a string, Digits, Decimal, int, bool, time.Time, Date or []string;
	// nil where there is none, or where there are only parts.
	Value  any
	Parts  []Fact // of an object, or of a value that is told with its source
	Items  []Fact // of a list: an object each
	Source        // zero where it does not come from one entry

	of   *Handover // whose infants the list is of
	room *room     // nil: each fact has its own
}

// Digits are a whole number that is kept as it was written.
type Digits string

// sourced is a part of a Summary that comes from one entry.
type sourced interface{ origin() Source }

func (s Source) origin() Source { return s }

func readAll(specs []FactSpec, owner any, within string, from Source, room *room) []Fact {
	if o, ok := owner.(sourced); ok {
		from = o.origin()
	}
	out := room.facts(widthOf(specs))
	for i := range specs {
		out = readOne(out, &specs[i], owner, within, from, room)
	}
	return out
}

// readOne appends what a row says of its owner.
func readOne(out []Fact, spec *FactSpec, owner any, within string, from Source, room *room) []Fact {
	n := len(out)
	out = append(out, Fact{FactSpec: spec, Path: within + spec.Name, Remark: spec.Unit, Source: from, room: room})
	f := &out[n] // read in its place: most are told
	if f.record {
		f.Source = Source{}
	}
	switch f.read(owner, f); {
	case f.Name == "":
		return append(out[:n], f.Parts...)
	case f.State == Unsaid:
		return out[:n]
	}
	return out
}

// widthOf is how many facts rows mostly make, those without a name their parts.
func widthOf(specs []FactSpec) int {
	n := 0
	for i := range specs {
		if specs[i].Name == "" {
			n += widthOf(specs[i].Of)
		}
		n++
	}
	return n
}

// Find is the fact of a path among facts and their parts, nil for none.
func Find(facts []Fact, path string) *Fact {
	for i := range facts {
		f := &facts[i]
		if f.Path == path && f.Name != "" {
			return f
		}
		if strings.HasPrefix(path, f.Path+".") {
			if found := Find(append(f.Parts[:len(f.Parts):len(f.Parts)], f.Items...), path); found != nil {
				return found
			}
		}
	}
	return nil
}

func labelIn(specs []FactSpec, path string) string {
	name, rest, deeper := strings.Cut(path, ".")
	for _, s := range specs {
		switch {
		case s.Name == "":
			if label := labelIn(s.Of, path); label != "" {
				return label
			}
		case s.Name != name:
		case !deeper:
			return s.Label
		case s.fields != "":
			return FieldOf(s.fields, rest).Label
		case s.List:
			key, part, _ := strings.Cut(rest, ".")
			words := strings.ReplaceAll(key, "-", " ") + " " + s.Item + " " + labelIn(s.Of, part)
			return strings.Join(strings.Fields(words), " ")
		default:
			return labelIn(s.Of, rest)
		}
	}
	return ""
}

// FieldOf is the description of a kind's field, empty where the kind has none.
func FieldOf(kind, field string) entry.Spec {
	if k, ok := entry.KindOf(kind); ok {
		if s, ok := k.Spec(field); ok {
			return *s
		}
	}
	return entry.Spec{}
}

// isEmpty says whether a value says nothing: a count of 0 does.
func isEmpty(v any) bool {
	switch v := v.(type) {
	case nil:
		return true
	case string:
		return v == ""
	case Digits:
		return v == ""
	case time.Time:
		return v.IsZero()
	case entry.Date:
		return v.IsZero()
	}
	return false
}
