package handover

import (
	"slices"
	"strings"

	"cotline/handover/entry"
)

// thresholdFields are what a unit's threshold may look at: set values first,
// then what is observed, then what is computed of them.
var thresholdFields = listThresholdFields()

func listThresholdFields() []string {
	var out []string
	for _, name := range []string{"settings", "observations"} {
		kind, _ := entry.KindOf(name)
		for _, f := range kind.Fields {
			if f.Type == entry.Number && !slices.Contains(out, f.Name) {
				out = append(out, f.Name)
			}
		}
	}
	return append(out, "silverman", "sf", "severity", "osi")
}

func readThresholds(d *policyDecoder, p *Policy, v entry.Value, path string) {
	for here, x := range d.objects(v, path, "a list", "name", "all", "source", "first") {
		t := Threshold{First: x.Field("first").Bool}
		if first := x.Field("first"); first.Type != entry.Absent && first.Type != entry.BoolValue {
			d.add(first, here+".first", entry.CodeType, "true or false")
		}
		t.Name, _ = d.text(within(x, "name"), here+".name", "text")
		t.Source, _ = d.text(within(x, "source"), here+".source", "where the rule comes from")
		all := within(x, "all")
		if all.Type != entry.ListValue || len(all.List) == 0 {
			d.add(all, here+".all", entry.CodeType, "a list of {field, is, value}")
		}
		for _, c := range all.List {
			if !d.object(c, here+".all", "field", "is", "value") {
				continue
			}
			cond := Condition{Field: c.Field("field").Text, Is: c.Field("is").Text}
			if !slices.Contains(thresholdFields, cond.Field) {
				d.add(within(c, "field"), here+".all.field", entry.CodeWord, "one of "+strings.Join(thresholdFields, ", "))
			}
			if !slices.Contains([]string{">", ">=", "<", "<=", "="}, cond.Is) {
				d.add(within(c, "is"), here+".all.is", entry.CodeWord, "one of >, >=, <, <=, =")
			}
			n, ok := entry.NumberOf(within(c, "value"))
			if !ok {
				d.add(within(c, "value"), here+".all.value", entry.CodeType, "a number")
			}
			cond.Value = n
			t.All = append(t.All, cond)
		}
		p.Thresholds = append(p.Thresholds, t)
	}
}
