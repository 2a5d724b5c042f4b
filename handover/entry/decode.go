package entry

import (
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"
)

// Decode makes an entry of one offered object, by the table of kinds. It
// collects every fault; with any, the entry is not to be used.
func Decode(v Value) (Entry, []Issue) {
	d := decoder{line: v.Line}
	if v.Type != ObjectValue {
		d.add("", CodeJSON, v.Shown(), "an entry is one object")
		return Entry{}, d.issues
	}
	e := Entry{Line: v.Line}
	e.ID = strings.ToLower(d.common(v, "id").Text)
	e.Infant = d.common(v, "infant").Text
	e.By = d.common(v, "by").Text
	if at := d.common(v, "at"); at.Type == TextValue {
		e.At, _ = ParseMoment(at.Text)
	}
	if charted := d.common(v, "charted"); charted.Type == TextValue {
		e.Charted, _ = ParseMoment(charted.Text)
		e.Offered = true
	}
	kind := d.kind(v)
	if kind == nil {
		return e, d.issues
	}
	e.Kind = kind.Name
	switch {
	case kind.Ward == OfInfant && e.Infant == "" && v.Field("infant").Type == Absent:
		d.add("infant", CodeMissing, "", "required on "+kind.Name)
	case kind.Ward == OfUnit && v.Field("infant").Type != Absent:
		d.add("infant", CodeUnknownField, "", "left out on "+kind.Name)
	}
	own := make([]Field, 0, len(v.Fields))
	for _, f := range v.Fields {
		if _, common := specOf(Common, f.Name); !common {
			own = append(own, f)
		}
	}
	e.Fields = d.fields("", own, kind.Fields, kind)
	if kind.Name == "correction" {
		e.Corrected = d.corrected(v.Field("entry"), &e)
	}
	return e, d.issues
}

type decoder struct {
	line   int
	issues []Issue
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
	spec, _ := specOf(Common, name)
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
	d.add("kind", CodeUnknownKind, f.Shown(), "one of "+strings.Join(names, ", "))
	return nil
}

// corrected reads a correction's entry: kind, at and fields, with the infant of
// the correction; infant may be repeated.
func (d *decoder) corrected(v Value, of *Entry) *Entry {
	if v.Type != ObjectValue {
		return nil // already told by fields
	}
	inner := decoder{line: d.line}
	e := &Entry{Infant: of.Infant}
	kind := inner.kind(v)
	if at := inner.common(v, "at"); at.Type == TextValue {
		e.At, _ = ParseMoment(at.Text)
	}
	if f := v.Field("infant"); f.Type != Absent && (f.Type != TextValue || f.Text != of.Infant) {
		inner.add("infant", CodeReference, f.Shown(), "the infant of the correction")
	}
	if kind != nil {
		e.Kind = kind.Name
		if kind.Name == "correction" || kind.Name == "retraction" {
			inner.add("kind", CodeReference, kind.Name, "an original entry is corrected, never a correction or retraction")
		}
		own := make([]Field, 0, len(v.Fields))
		for _, f := range v.Fields {
			if f.Name != "kind" && f.Name != "at" && f.Name != "infant" {
				own = append(own, f)
			}
		}
		e.Fields = inner.fields("", own, kind.Fields, kind)
	}
	for _, i := range inner.issues {
		d.add(JoinPath("entry", i.Path), i.Code, i.Found, i.Allowed)
	}
	return e
}

// fields reads an object by its specs and returns them in the table's order.
func (d *decoder) fields(path string, offered []Field, specs []Spec, kind *Kind) []Field {
	for _, f := range offered {
		if _, ok := specOf(specs, f.Name); !ok {
			names := make([]string, len(specs))
			for i := range specs {
				names[i] = specs[i].Name
			}
			d.add(JoinPath(path, ShownName(f.Name)), CodeUnknownField, "", "one of "+strings.Join(names, ", "))
		}
	}
	out := make([]Field, 0, len(offered))
	for i := range specs {
		spec := &specs[i]
		v := Lookup(offered, spec.Name)
		if v.Type == Absent {
			if spec.Required {
				d.add(JoinPath(path, spec.Name), CodeMissing, "", "required")
			} else if w := Lookup(offered, spec.When.Field); w.Type == TextValue && slices.Contains(spec.When.Is, w.Text) {
				d.add(JoinPath(path, spec.Name), CodeMissing, "", "required when "+spec.When.Field+" is "+w.Text)
			}
			continue
		}
		if got, ok := d.value(JoinPath(path, spec.Name), v, spec); ok {
			out = append(out, Field{spec.Name, got})
		}
	}
	if kind != nil {
		d.together(out, offered, kind)
	}
	return out
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
	if len(kind.AnyOf) > 0 && len(offered) == 0 {
		d.add(kind.AnyOf[0], CodeMissing, "", "at least one of "+strings.Join(kind.AnyOf, ", "))
	}
	if kind.Less[0] != "" {
		low, a := NumberOf(Lookup(got, kind.Less[0]))
		high, b := NumberOf(Lookup(got, kind.Less[1]))
		if a && b && low.Cmp(high) >= 0 {
			d.add(kind.Less[0], CodeOrder, low.String(), "below "+kind.Less[1]+" ("+high.String()+")")
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
