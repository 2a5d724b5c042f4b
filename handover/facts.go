package handover

import (
	"strings"
	"time"
)

// FactSpec describes one fact of a handover: a row of the table of facts, as Spec
// is one of the table of kinds. Its place among its owner's parts is its place in
// the JSON form and, but for a few, in the workbook.
type FactSpec struct {
	Name   string     // its key in the JSON form; empty: its parts stand among its owner's
	Label  string     // how a sentence names it among gaps and changes
	Unit   string     // as printed
	Item   string     // of a list with keys: what an item is called after its key
	Of     []FactSpec // parts of an object, or of each item of a list
	List   bool
	fields string // the kind of entry whose fields its parts are named and described by
	Apart  bool   // no line of its own in the workbook: a column or another line tells it
	Quiet  bool   // a line of the workbook only where it says something
	NoNull bool   // not charted has no key, and is no gap
	NoGap  bool   // null here is no gap
	record bool   // it comes from the whole record, not from one entry
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
}

// Digits are a whole number that is kept as it was written.
type Digits string

// sourced is every fact of which the source is known.
type sourced interface{ origin() Source }

func (s Source) origin() Source { return s }

// Facts reads the whole table of one infant, in its order; what says nothing is
// left out.
func (s *Summary) Facts() []Fact { return readAll(infantFacts, s, "", Source{}) }

// Facts reads the table of the whole ward, all its infants in it.
func (h *Handover) Facts() []Fact { return readAll(wardFacts, h, "", Source{}) }

func readAll(specs []FactSpec, owner any, within string, from Source) []Fact {
	if o, ok := owner.(sourced); ok {
		from = o.origin()
	}
	out := make([]Fact, 0, len(specs))
	for i := range specs {
		f := Fact{FactSpec: &specs[i], Path: within + specs[i].Name, Remark: specs[i].Unit, Source: from}
		if f.record {
			f.Source = Source{}
		}
		switch f.read(owner, &f); {
		case f.Name == "":
			out = append(out, f.Parts...)
		case f.State != Unsaid:
			out = append(out, f)
		}
	}
	return out
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

// LabelOf names the fact of a path in words, empty where the table has none.
func LabelOf(path string) string { return labelIn(infantFacts, path) }

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
			return specNamed(s.fields, rest).Label
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

// specNamed is the description of a kind's field, empty where the kind has none.
func specNamed(kind, field string) Spec {
	if k, ok := KindOf(kind); ok {
		if s, ok := k.Spec(field); ok {
			return *s
		}
	}
	return Spec{}
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
	case Date:
		return v.IsZero()
	}
	return false
}
