package handover

import (
	"fmt"
	"iter"
	"slices"
	"strings"
	"time"
	"unicode"

	"cotline/handover/entry"
)

type duration = time.Duration

// policyDecoder gathers what is wrong with a policy while its values are read, each by
// the form that it must have.
type policyDecoder struct {
	issues []entry.Issue
	zone   func(string) (*time.Location, error)
}

// reader takes one value of the policy, under its path.
type reader = func(d *policyDecoder, p *Policy, v entry.Value, path string)

func (d *policyDecoder) add(v entry.Value, path string, code entry.Code, allowed string) {
	i := entry.Issue{Line: v.Line, Path: path, Code: code, Allowed: allowed}
	if v.Type != entry.Absent {
		i.Found = v.Quoted()
	}
	d.issues = append(d.issues, i)
}

// text is the value's text; anything else is told.
func (d *policyDecoder) text(v entry.Value, path, wanted string) (string, bool) {
	if v.Type != entry.TextValue || strings.TrimSpace(v.Text) == "" {
		d.add(v, path, entry.CodeType, wanted)
		return "", false
	}
	if strings.ContainsFunc(v.Text, unicode.IsControl) {
		d.add(v, path, entry.CodeText, "no control character, on one line")
		return "", false
	}
	return entry.NFC(v.Text), true
}

// texts is a list of names, none twice.
func (d *policyDecoder) texts(v entry.Value, path string) []string {
	if v.Type != entry.ListValue {
		d.add(v, path, entry.CodeType, "a list")
		return nil
	}
	out := []string{}
	for _, x := range v.List {
		s, ok := d.text(x, path, "a list of names")
		if ok && slices.Contains(out, s) {
			d.add(x, path, entry.CodeRepeated, "each name once")
		}
		if ok {
			out = append(out, s)
		}
	}
	return out
}

func (d *policyDecoder) words(v entry.Value, path string, allowed []string) []string {
	out := d.texts(v, path)
	for _, s := range out {
		if !slices.Contains(allowed, s) {
			d.add(v, path, entry.CodeWord, "of "+strings.Join(allowed, ", ")+" (not "+entry.Short(s)+")")
		}
	}
	return out
}

func (d *policyDecoder) object(v entry.Value, path string, names ...string) bool {
	if v.Type != entry.ObjectValue {
		d.add(v, path, entry.CodeType, "a map of "+strings.Join(names, ", "))
		return false
	}
	ok := true
	for _, f := range v.Fields {
		if !slices.Contains(names, f.Name) {
			d.add(entry.Value{Line: f.Value.Line}, entry.JoinPath(path, entry.ShownName(f.Name)), entry.CodeUnknownField,
				"one of "+strings.Join(names, ", "))
			ok = false
		}
	}
	return ok
}

// objects are the items of a list of maps with these names, each after its path. What is
// none is a fault, and left out.
func (d *policyDecoder) objects(v entry.Value, path, want string, names ...string) iter.Seq2[string, entry.Value] {
	return func(yield func(string, entry.Value) bool) {
		if v.Type != entry.ListValue {
			d.add(v, path, entry.CodeType, want)
		}
		for i, x := range v.List {
			here := fmt.Sprintf("%s[%d]", path, i)
			if d.object(x, here, names...) && !yield(here, x) {
				return
			}
		}
	}
}

func (d *policyDecoder) decimal(v entry.Value, path, low, high string) entry.Decimal {
	n, ok := entry.NumberOf(v)
	if !ok || n.Cmp(entry.MustDecimal(low)) < 0 || n.Cmp(entry.MustDecimal(high)) > 0 {
		d.add(v, path, entry.CodeRange, "a number from "+low+" to "+high)
	}
	return n
}

// optional is a text that may be left out.
func (d *policyDecoder) optional(of entry.Value, path, name string) string {
	v := of.Field(name)
	if v.Type == entry.Absent || v.Type == entry.NullValue {
		return ""
	}
	s, _ := d.text(v, entry.JoinPath(path, name), "text")
	return s
}

// within is a field of an object; one that is left out has the object's line.
func within(of entry.Value, name string) entry.Value {
	v := of.Field(name)
	if v.Type == entry.Absent {
		v.Line = of.Line
	}
	return v
}
