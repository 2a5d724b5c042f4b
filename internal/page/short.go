package page

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// short are the facts of one infant as a nurse tells them: a dozen lines, without
// what only the full form needs, and without what stands above among the things to
// look at first. What nobody charted stands there or under Gaps. A row without facts
// is left out.
func (v view) short(f *handover.Summary) []row {
	all := []row{
		v.shortDue(f), v.shortSupport(f), v.shortSeen(f), v.shortFace(f), v.shortTube(f), v.shortWarmth(f),
		v.shortOutlook(f), v.shortHanded(f), v.shortGaps(f),
	}
	return slices.DeleteFunc(all, func(r row) bool { return len(r.Items) == 0 })
}

// shortName is an infant in the line above its facts, by cot, name and number.
func shortName(f *handover.Summary) []string {
	name := nameOf(f)
	if f.Formerly != "" && !f.Restricted {
		name += " (formerly " + said(f.Formerly) + ")"
	}
	return []string{said(f.Cot), name, numbered(f)}
}

var children = map[string]string{"female": "girl", "male": "boy"}

// shortAge is sex, age and weight.
func (v view) shortAge(f *handover.Summary) string {
	weeks := ""
	if f.Age.Postmenstrual != "" {
		weeks = f.Age.Postmenstrual + " wk"
		if f.Age.About {
			weeks = "about " + weeks
		}
	}
	weight := ""
	if x := f.Weight.Value; x != nil {
		weight = x.WeightG.String() + " g"
		if v.at.Sub(x.At) >= 48*time.Hour {
			weight += " on " + v.civil(entry.DateOf(x.At, v.zone))
		}
	}
	who := children[f.Sex]
	return joined("  ", who, joined(", ", weeks, "day "+strconv.Itoa(f.Age.DayOfLife), weight))
}

// shortSupport is what is set, and what was needed of oxygen in the window.
func (v view) shortSupport(f *handover.Summary) row {
	r := row{Label: "Support"}
	switch f.Support.State {
	case "on":
		v.shortSettings(&r, f)
	case "off":
		r.add("OFF since " + v.when(f.Support.StoppedAt) + bracketed(plain(f.Support.Reason)))
		if x := f.FiO2.Value; x != nil {
			r.add("before that FiO2 " + fio2Range(*x))
		}
	default:
		r.add("none in this stay")
	}
	return r
}

func (v view) shortSettings(r *row, f *handover.Summary) {
	set := map[string]string{}
	for _, s := range f.Settings {
		if s.Fact != nil {
			set[s.Field] = s.Fact.Value.String()
		}
	}
	mode := modeSaid(f.Support.Mode)
	switch p, upper := set["pressureCmH2O"], set["upperPressureCmH2O"]; {
	case p != "" && upper != "":
		mode += " " + upper + " over " + p
	default:
		mode = joined(" ", mode, p)
	}
	fio2 := prefixed("FiO2 ", set["fio2Percent"])
	if x := f.FiO2.Value; x != nil && fio2 != "" && x.MinPercent.Cmp(x.MaxPercent) == 0 && x.MinPercent.String() == set["fio2Percent"] {
		fio2 += " throughout"
	} else if x != nil && fio2 != "" {
		mean := ""
		if m := x.MeanPercent.Value; m != nil {
			mean = "mean " + shortNumber(*m)
		}
		raised := ""
		if x.Rises > 0 {
			raised = raisedSaid(x.Rises)
		}
		fio2 += bracketed(fio2Range(*x), mean, raised)
	}
	target := ""
	switch low, high := set["spo2LowPercent"], set["spo2HighPercent"]; {
	case low != "" && high != "":
		target = "target " + low + " to " + high
	case low != "":
		target = "target from " + low
	case high != "":
		target = "target up to " + high
	}
	r.add(mode, prefixed("rate ", set["rateMin"]), fio2,
		prefixed("flow ", set["flowLMin"]), target)
	r.add(prefixed("alarm limits ", limitsSaid(f.Limits)))
}

// limitsSaid are alarm limits, both ends of one thing together.
func limitsSaid(limits []handover.Observed) string {
	set := map[string]string{}
	for _, o := range limits {
		set[o.Field] = o.Value
	}
	var out []string
	for _, x := range []struct{ name, low, high string }{
		{"SpO2", "spo2LowPercent", "spo2HighPercent"}, {"heart", "heartRateLowBpm", "heartRateHighBpm"},
		{"oxygen", "oxygenLowPercent", "oxygenHighPercent"}, {"pressure", "pressureLowCmH2O", "pressureHighCmH2O"},
	} {
		switch low, high := set[x.low], set[x.high]; {
		case low != "" && high != "":
			out = append(out, x.name+" "+low+" to "+high)
		case low != "":
			out = append(out, x.name+" from "+low)
		case high != "":
			out = append(out, x.name+" up to "+high)
		}
	}
	return strings.Join(out, ", ")
}

// fio2Range is what was set in the window.
func fio2Range(x handover.FiO2Window) string {
	if x.MinPercent.Cmp(x.MaxPercent) == 0 {
		return x.MinPercent.String() + " throughout"
	}
	return x.MinPercent.String() + " to " + x.MaxPercent.String()
}

// shortNumber is a computed number without the noughts at its end.
func shortNumber(d entry.Decimal) string {
	s := d.String()
	if strings.Contains(s, ".") {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	return s
}
