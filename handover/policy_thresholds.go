package handover

import (
	"fmt"
	"strings"
)

// ThresholdFields are what a unit's threshold may look at: set values first,
// then what is observed, then what is computed of them.
var ThresholdFields = thresholdFields()

func thresholdFields() []string {
	var out []string
	for _, name := range []string{"settings", "observations"} {
		kind, _ := KindOf(name)
		for _, f := range kind.Fields {
			if f.Type == Number && !contains(out, f.Name) {
				out = append(out, f.Name)
			}
		}
	}
	return append(out, "silverman", "sf", "severity", "osi")
}

func readThresholds(d *policyDecoder, p *Policy, v Value, path string) {
	if v.Type != ListValue {
		d.add(v, path, CodeType, "a list")
		return
	}
	for i, x := range v.List {
		here := fmt.Sprintf("%s[%d]", path, i)
		if !d.object(x, here, "name", "all", "source", "first") {
			continue
		}
		t := Threshold{First: x.Field("first").Bool}
		if first := x.Field("first"); first.Type != Absent && first.Type != BoolValue {
			d.add(first, here+".first", CodeType, "true or false")
		}
		t.Name, _ = d.text(within(x, "name"), here+".name", "text")
		t.Source, _ = d.text(within(x, "source"), here+".source", "where the rule comes from")
		all := within(x, "all")
		if all.Type != ListValue || len(all.List) == 0 {
			d.add(all, here+".all", CodeType, "a list of {field, is, value}")
		}
		for _, c := range all.List {
			if !d.object(c, here+".all", "field", "is", "value") {
				continue
			}
			cond := Condition{Field: c.Field("field").Text, Is: c.Field("is").Text}
			if !contains(ThresholdFields, cond.Field) {
				d.add(within(c, "field"), here+".all.field", CodeWord, "one of "+strings.Join(ThresholdFields, ", "))
			}
			if !contains([]string{">", ">=", "<", "<=", "="}, cond.Is) {
				d.add(within(c, "is"), here+".all.is", CodeWord, "one of >, >=, <, <=, =")
			}
			n, ok := numberOf(within(c, "value"))
			if !ok {
				d.add(within(c, "value"), here+".all.value", CodeType, "a number")
			}
			cond.Value = n
			t.All = append(t.All, cond)
		}
		p.Thresholds = append(p.Thresholds, t)
	}
}
