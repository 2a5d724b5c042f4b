package entry

import (
	"slices"
	"strings"
	"unique"

	"golang.org/x/text/unicode/norm"
)

// Decode makes an entry of one offered object, by the table of kinds. It
// collects every fault; with any, the entry is not to be used.
func Decode(v Value) (Entry, []Issue) {
	quiet := decoder{line: v.Line}
	e := quiet.entry(v)
	if len(quiet.issues) == 0 {
		_, _, changed := e.cleaned()
		e.isClean = !changed
		return e, nil
	}
	told := decoder{line: v.Line, paths: true} // once more: only faults need paths
	return told.entry(v), told.issues
}

func (d *decoder) entry(v Value) Entry {
	if v.Type != ObjectValue {
		d.add("", CodeJSON, v.Shown(), "an entry is one object")
		return Entry{}
	}
	e := Entry{Line: v.Line}
	e.ID = strings.ToLower(d.common(v, "id").Text)
	e.Infant = unique.Make(d.common(v, "infant").Text).Value() // the same string of all: they are held against each other
	e.By = d.common(v, "by").Text
	if d.common(v, "at").Type == TextValue {
		e.At = d.moment
	}
	if d.common(v, "charted").Type == TextValue {
		e.Charted, e.Offered = d.moment, true
	}
	kind := d.kind(v)
	if kind == nil {
		return e
	}
	e.Kind = kind.Name
	switch {
	case kind.Ward == OfInfant && e.Infant == "" && v.Field("infant").Type == Absent:
		d.add("infant", CodeMissing, "", "required on "+kind.Name)
	case kind.Ward == OfUnit && v.Field("infant").Type != Absent:
		d.add("infant", CodeUnknownField, "", "left out on "+kind.Name)
	}
	e.Fields = d.fields("", v.Fields, Common, kind.Fields, kind)
	if kind.Name == "correction" {
		e.Corrected = d.corrected(v.Field("entry"), &e)
	}
	return e
}

// decoder reads one entry.
type decoder struct {
	line   int
	paths  bool // say where a fault is
	issues []Issue
	moment Moment // the one read last
}

// join is the path of a field below another.
func (d *decoder) join(path, name string) string {
	if !d.paths {
		return ""
	}
	return JoinPath(path, name)
}

// mostFaults bounds what one hostile line can make of the list of issues.
const mostFaults = 50

func (d *decoder) add(path string, code Code, found, allowed string) {
	if len(d.issues) >= mostFaults {
		return
	}
	d.issues = append(d.issues, Issue{Line: d.line, Path: path, Code: code, Found: found, Allowed: allowed})
}

// common reads one of the fields that every entry has.
func (d *decoder) common(v Value, name string) Value {
	spec, _ := SpecOf(Common, name)
	f := v.Field(name)
	if f.Type == Absent {
		if spec.Required {
			d.add(name, CodeMissing, "", "required")
		}
		return Value{}
	}
	out, ok := d.value(name, f, spec)
	if !ok {
		return Value{}
	}
	return out
}

func (d *decoder) kind(v Value) *Kind {
	f := v.Field("kind")
	switch f.Type {
	case Absent:
		d.add("kind", CodeMissing, "", "required")
		return nil
	case TextValue:
		if k, ok := KindOf(f.Text); ok {
			return k
		}
	}
	names := make([]string, len(Kinds))
	for i := range Kinds {
		names[i] = Kinds[i].Name
	}
	found := f.Shown()
	if kindLike(f.Text) {
		found = f.Quoted()
	}
	d.add("kind", CodeUnknownKind, found, "one of "+strings.Join(names, ", "))
	return nil
}

// kindLike says whether a word is of the form of kinds, lower case and hyphens, and so
// told: whoever mistyped one must see it.
func kindLike(s string) bool {
	return s != "" && len(s) <= 20 && strings.Trim(s, "abcdefghijklmnopqrstuvwxyz-") == ""
}

// ofCorrected are the fields that a correction's entry has of the common ones.
var ofCorrected = []Spec{{Name: "kind"}, {Name: "at"}, {Name: "infant"}}

// corrected reads a correction's entry: kind, at and fields, with the infant of
// the correction; infant may be repeated.
func (d *decoder) corrected(v Value, of *Entry) *Entry {
	if v.Type != ObjectValue {
		return nil // already told by fields
	}
	inner := decoder{line: d.line, paths: d.paths}
	e := &Entry{Infant: of.Infant}
	kind := inner.kind(v)
	if inner.common(v, "at").Type == TextValue {
		e.At = inner.moment
	}
	if f := v.Field("infant"); f.Type != Absent && (f.Type != TextValue || f.Text != of.Infant) {
		inner.add("infant", CodeReference, f.Shown(), "the infant of the correction")
	}
	if kind != nil {
		e.Kind = kind.Name
		if kind.Name == "correction" || kind.Name == "retraction" {
			inner.add("kind", CodeReference, kind.Name, "an original entry is corrected, never a correction or retraction")
		}
		e.Fields = inner.fields("", v.Fields, ofCorrected, kind.Fields, kind)
	}
	for _, i := range inner.issues {
		d.add(JoinPath("entry", i.Path), i.Code, i.Found, i.Allowed)
	}
	return e
}

// fields reads an object by its specs and returns them in the table's order. Those
// that are read elsewhere are passed over.
func (d *decoder) fields(path string, offered []Field, elsewhere, specs []Spec, kind *Kind) []Field {
	own := 0
	for i := range offered {
		f := &offered[i]
		if _, passed := SpecOf(elsewhere, f.Name); passed {
			continue
		}
		own++
		if _, ok := SpecOf(specs, f.Name); !ok {
			d.add(d.join(path, ShownName(f.Name)), CodeUnknownField, "", instead(f.Name, specs))
		}
	}
	out := make([]Field, 0, own)
	for i := range specs {
		spec := &specs[i]
		v := fieldOf(offered, spec.Name)
		if v == nil || v.Type == Absent {
			if spec.Required {
				d.add(d.join(path, spec.Name), CodeMissing, "", "required")
			} else if w := Lookup(offered, spec.When.Field); w.Type == TextValue && slices.Contains(spec.When.Is, w.Text) {
				d.add(d.join(path, spec.Name), CodeMissing, "", "required when "+spec.When.Field+" is "+w.Text)
			}
			continue
		}
		if got, ok := d.value(d.join(path, spec.Name), *v, spec); ok {
			out = append(out, Field{spec.Name, got})
		}
	}
	if kind != nil {
		d.together(out, offered, kind)
	}
	return out
}

// instead says what to do about a field that does not belong: one that every entry has is
// known already where it stands twice.
func instead(name string, specs []Spec) string {
	if _, common := SpecOf(Common, name); common {
		return "leave out: " + name
	}
	names := make([]string, len(specs))
	for i := range specs {
		names[i] = specs[i].Name
	}
	return "one of " + strings.Join(names, ", ")
}

// together checks what holds between fields of a kind.
func (d *decoder) together(got, offered []Field, kind *Kind) {
	if len(kind.OneOf) > 0 {
		n := 0
		for _, name := range kind.OneOf {
			if Lookup(offered, name).Type != Absent {
				n++
			}
		}
		if n != 1 {
			d.add(kind.OneOf[0], CodeMissing, "", "exactly one of "+strings.Join(kind.OneOf, ", "))
		}
	}
	has := func(name string) bool { return Lookup(offered, name).Type != Absent }
	if len(kind.AnyOf) > 0 && !slices.ContainsFunc(kind.AnyOf, has) {
		d.add(kind.AnyOf[0], CodeMissing, "", "at least one of "+strings.Join(kind.AnyOf, ", "))
	}
	if a, b := kind.NotBoth[0], kind.NotBoth[1]; a != "" && has(a) && has(b) {
		d.add(b, CodeRepeated, "", "one of "+a+" and "+b)
	}
	for _, pair := range kind.Less {
		low, a := NumberOf(Lookup(got, pair[0]))
		high, b := NumberOf(Lookup(got, pair[1]))
		if a && b && low.Cmp(high) >= 0 {
			d.add(pair[0], CodeOrder, low.String(), "below "+pair[1]+" ("+high.String()+")")
		}
	}
}

// JoinPath is the path of a field within another, as issues name it.
func JoinPath(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

// NFC is text in the normal form that is compared, stored and hashed.
func NFC(s string) string { return norm.NFC.String(s) }
