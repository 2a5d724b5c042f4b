package handover

import "cotline/handover/entry"

// thresholdsFact holds the unit's own rules against set values in force, and
// against what was observed in the spell and is not too old. An SpO2 of 0 is none.
func (r *reading) thresholdsFact(s *Summary) []ThresholdFact {
	values := map[string]entry.Decimal{}
	fresh := func(src Source) bool { return r.spell != nil && !src.At.Before(r.spell.start) && !r.stale(src.At) }
	for _, o := range s.Observations {
		if d, err := entry.ParseDecimal(o.Value); err == nil && !o.Word && fresh(o.Source) && !(o.Field == "spo2Percent" && d.IsZero()) {
			values[o.Field] = d
		}
	}
	set, _ := entry.KindOf("settings")
	for _, x := range set.Fields {
		delete(values, x.Name)
	}
	for _, x := range s.Settings {
		if x.Fact != nil {
			values[x.Field] = x.Fact.Value
		}
	}
	if i := s.Indices.Value; i != nil && fresh(i.Source) {
		for name, v := range map[string]Maybe[entry.Decimal]{"sf": i.SF, "severity": i.Severity, "osi": i.OSI} {
			if v.Value != nil {
				values[name] = *v.Value
			}
		}
	}
	if v := s.Silverman.Value; v != nil && fresh(v.Source) {
		values["silverman"] = entry.Int(int64(v.Total))
	}
	var out []ThresholdFact
	for _, t := range r.p.Thresholds {
		f := ThresholdFact{Name: t.Name, Source: t.Source, First: t.First}
		met, all := true, true
		for i, c := range t.All {
			if i > 0 {
				f.Text += " and "
			}
			f.Text += c.Field + " " + c.Is + " " + c.Value.String()
			v, ok := values[c.Field]
			all = all && ok
			met = met && ok && c.holds(v)
		}
		if all {
			f.Met = &met
		}
		out = append(out, f)
	}
	return out
}

func (c Condition) holds(v entry.Decimal) bool {
	switch d := v.Cmp(c.Value); c.Is {
	case ">":
		return d > 0
	case ">=":
		return d >= 0
	case "<":
		return d < 0
	case "<=":
		return d <= 0
	default:
		return d == 0
	}
}
