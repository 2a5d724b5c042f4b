package handover

import (
	"strings"
	"time"
)

type duration = time.Duration

type policyDecoder struct {
	issues []Issue
	zone   func(string) (*time.Location, error)
}

func (d *policyDecoder) add(v Value, path string, code Code, allowed string) {
	i := Issue{Line: v.Line, Path: path, Code: code, Allowed: allowed}
	if v.Type != Absent {
		i.Found = v.Shown()
	}
	d.issues = append(d.issues, i)
}

// DecodePolicy makes the policy in force of what a unit wrote: a map merges
// with the defaults key by key, a list replaces them. Zone finds a time zone by
// its IANA name. With issues, the policy is not to be used.
func DecodePolicy(v Value, zone func(string) (*time.Location, error)) (*Policy, []Issue) {
	d := &policyDecoder{zone: zone}
	p := &Policy{
		Care: map[string]Every{}, Alarms: map[string][]string{}, Sizes: map[string][]string{},
		Under: map[string][]string{}, origins: map[string]Origin{},
		FHIR: FHIRPolicy{Identifiers: map[string]Identifier{}},
	}
	if v.Type == Absent || v.Type == NullValue {
		v = Value{Type: ObjectValue}
	}
	d.unknown(v, "")
	p.tree = Value{Type: ObjectValue}
	for _, key := range policyKeys {
		initial := Value{}
		if key.initial != "" {
			wrapped, _ := ParseJSON([]byte(`{"v":` + key.initial + `}`))
			initial = wrapped.Field("v")
		}
		given := at(v, key.path)
		value := given
		switch {
		case given.Type == Absent || given.Type == NullValue:
			value = initial
			p.origins[key.path] = key.origin
		case initial.Type == ObjectValue && given.Type == ObjectValue:
			value = merge(initial, given)
			p.origins[key.path] = UnitPolicy
		default:
			p.origins[key.path] = UnitPolicy
		}
		if value.Type == Absent {
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
		if !contains(p.AllCares(), f.Name) {
			d.add(Value{Line: f.Value.Line}, join("every.care", shownName(f.Name)), CodeUnknownField, "one of "+strings.Join(p.AllCares(), ", "))
		}
	}
	for _, pair := range []struct {
		name         string
		due, overdue Every
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
			d.add(v, pair.name+"Overdue", CodeOrder, "not less than "+pair.name+"Due ("+pair.due.String()+")")
		}
	}
}

// at is the value at a dotted path.
func at(v Value, path string) Value {
	for _, name := range strings.Split(path, ".") {
		v = v.Field(name)
	}
	return v
}

func put(v *Value, path []string, leaf Value) {
	if len(path) == 1 {
		v.Fields = append(v.Fields, Field{path[0], leaf})
		return
	}
	for i := range v.Fields {
		if v.Fields[i].Name == path[0] {
			put(&v.Fields[i].Value, path[1:], leaf)
			return
		}
	}
	sub := Value{Type: ObjectValue}
	put(&sub, path[1:], leaf)
	v.Fields = append(v.Fields, Field{path[0], sub})
}

// merge is base with the fields of over in place of or after its own.
func merge(base, over Value) Value {
	out := Value{Type: ObjectValue, Line: over.Line}
	for _, f := range base.Fields {
		if own := over.Field(f.Name); own.Type != Absent && own.Type != NullValue {
			f.Value = own
		}
		out.Fields = append(out.Fields, f)
	}
	for _, f := range over.Fields {
		if base.Field(f.Name).Type == Absent && f.Value.Type != NullValue {
			out.Fields = append(out.Fields, f)
		}
	}
	return out
}

// unknown tells every key that no leaf has, and every branch that is no map.
func (d *policyDecoder) unknown(v Value, path string) {
	if v.Type != ObjectValue {
		d.add(v, path, CodeType, "a map of keys")
		return
	}
	for _, f := range v.Fields {
		here := join(path, shownName(f.Name))
		leaf, branch := false, false
		var siblings []string
		for _, key := range policyKeys {
			leaf = leaf || key.path == here
			branch = branch || strings.HasPrefix(key.path, here+".")
			if rest, ok := strings.CutPrefix(key.path, path); ok || path == "" {
				name, _, _ := strings.Cut(strings.TrimPrefix(rest, "."), ".")
				if !contains(siblings, name) {
					siblings = append(siblings, name)
				}
			}
		}
		switch {
		case branch && f.Value.Type != NullValue:
			d.unknown(f.Value, here)
		case !leaf && !branch:
			d.add(Value{Line: f.Value.Line}, here, CodeUnknownField, "one of "+strings.Join(siblings, ", "))
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
		if v := at(p.tree, key.path); v.Type != Absent {
			l.Value = string(v.appendJSON(nil))
		}
		out = append(out, l)
	}
	return out
}
