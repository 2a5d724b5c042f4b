package handover

import (
	"slices"
	"strings"
	"time"

	"cotline/handover/entry"
)

// DecodePolicy makes the policy in force of what a unit wrote: a map merges
// with the defaults key by key, a list replaces them. Zone finds a time zone by
// its IANA name. With issues, the policy is not to be used.
func DecodePolicy(v entry.Value, zone func(string) (*time.Location, error)) (*Policy, []entry.Issue) {
	d := &policyDecoder{zone: zone}
	p := &Policy{
		Care: map[string]entry.Every{}, Alarms: map[string][]string{}, Sizes: map[string][]string{},
		Under: map[string][]string{}, origins: map[string]Origin{},
		FHIR: FHIRPolicy{Identifiers: map[string]Identifier{}},
	}
	if v.Type == entry.Absent || v.Type == entry.NullValue {
		v = entry.Value{Type: entry.ObjectValue}
	}
	d.unknown(v, "")
	p.tree = entry.Value{Type: entry.ObjectValue}
	for _, key := range policyKeys {
		initial := entry.Value{}
		if key.initial != "" {
			wrapped, _ := entry.ParseJSON([]byte(`{"v":` + key.initial + `}`))
			initial = wrapped.Field("v")
		}
		given := at(v, key.path)
		value := given
		switch {
		case given.Type == entry.Absent || given.Type == entry.NullValue:
			value = initial
			p.origins[key.path] = key.origin
		case initial.Type == entry.ObjectValue && given.Type == entry.ObjectValue:
			value = merge(initial, given)
			p.origins[key.path] = UnitPolicy
		default:
			p.origins[key.path] = UnitPolicy
		}
		if value.Type == entry.Absent {
			continue
		}
		key.read(d, p, value, key.path)
		put(&p.tree, strings.Split(key.path, "."), value)
	}
	d.together(p)
	return p, d.issues
}

// together refuses what makes no sense beside another value.
func (d *policyDecoder) together(p *Policy) {
	for _, f := range at(p.tree, "every.care").Fields {
		if !slices.Contains(p.AllCares(), f.Name) {
			d.add(entry.Value{Line: f.Value.Line}, entry.JoinPath("every.care", entry.ShownName(f.Name)), entry.CodeUnknownField,
				"one of "+strings.Join(p.AllCares(), ", "))
		}
	}
	for _, pair := range []struct {
		name         string
		due, overdue entry.Every
	}{
		{"every.rotation", p.RotationDue, p.RotationOverdue},
		{"every.skin", p.SkinDue, p.SkinOverdue},
		{"every.headSkin", p.HeadSkinDue, p.HeadSkinOverdue},
	} {
		if !pair.due.None() && !pair.overdue.None() && pair.overdue.Duration < pair.due.Duration {
			v := at(p.tree, pair.name+"Overdue")
			if v.Line == 0 { // a default: the unit wrote the other
				v.Line = at(p.tree, pair.name+"Due").Line
			}
			d.add(v, pair.name+"Overdue", entry.CodeOrder, "not less than "+pair.name+"Due ("+pair.due.String()+")")
		}
	}
}

// at is the value at a dotted path.
func at(v entry.Value, path string) entry.Value {
	for _, name := range strings.Split(path, ".") {
		v = v.Field(name)
	}
	return v
}

func put(v *entry.Value, path []string, leaf entry.Value) {
	if len(path) == 1 {
		v.Fields = append(v.Fields, entry.Field{Name: path[0], Value: leaf})
		return
	}
	for i := range v.Fields {
		if v.Fields[i].Name == path[0] {
			put(&v.Fields[i].Value, path[1:], leaf)
			return
		}
	}
	sub := entry.Value{Type: entry.ObjectValue}
	put(&sub, path[1:], leaf)
	v.Fields = append(v.Fields, entry.Field{Name: path[0], Value: sub})
}

// merge is base with the fields of over in place of or after its own.
func merge(base, over entry.Value) entry.Value {
	out := entry.Value{Type: entry.ObjectValue, Line: over.Line}
	for _, f := range base.Fields {
		if own := over.Field(f.Name); own.Type != entry.Absent && own.Type != entry.NullValue {
			f.Value = own
		}
		out.Fields = append(out.Fields, f)
	}
	for _, f := range over.Fields {
		if base.Field(f.Name).Type == entry.Absent && f.Value.Type != entry.NullValue {
			out.Fields = append(out.Fields, f)
		}
	}
	return out
}

// unknown tells every key that no leaf has, and every branch that is no map.
func (d *policyDecoder) unknown(v entry.Value, path string) {
	if v.Type != entry.ObjectValue {
		d.add(v, path, entry.CodeType, "a map of keys")
		return
	}
	for _, f := range v.Fields {
		here := entry.JoinPath(path, entry.ShownName(f.Name))
		leaf, branch := false, false
		var siblings []string
		for _, key := range policyKeys {
			leaf = leaf || key.path == here
			branch = branch || strings.HasPrefix(key.path, here+".")
			if rest, ok := strings.CutPrefix(key.path, path); ok || path == "" {
				name, _, _ := strings.Cut(strings.TrimPrefix(rest, "."), ".")
				if !slices.Contains(siblings, name) {
					siblings = append(siblings, name)
				}
			}
		}
		switch {
		case branch && f.Value.Type != entry.NullValue:
			d.unknown(f.Value, here)
		case !leaf && !branch:
			d.add(entry.Value{Line: f.Value.Line}, here, entry.CodeUnknownField, "one of "+strings.Join(siblings, ", "))
		}
	}
}

// PolicyLine is one value of the policy in force, for people.
type PolicyLine struct {
	Path, Value string // Value is JSON, empty where nothing is set
	Origin      Origin
	Why         string // of a default
}

// Lines lists the policy in force in the order of its keys.
func (p *Policy) Lines() []PolicyLine {
	out := make([]PolicyLine, 0, len(policyKeys))
	for _, key := range policyKeys {
		l := PolicyLine{Path: key.path, Origin: p.origins[key.path], Why: key.why}
		if v := at(p.tree, key.path); v.Type != entry.Absent {
			l.Value = string(v.AppendJSON(nil))
		}
		out = append(out, l)
	}
	return out
}
