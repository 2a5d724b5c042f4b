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

// above says whether what stands above the lines tells of a fact: of any of that
// kind, or of one path.
func above(f *handover.Summary, what, path string) bool {
	return slices.ContainsFunc(f.Attention, func(a handover.Attention) bool {
		return a.What == what && (path == "" || a.Path == path) && (a.Level == handover.Now || !slices.Contains(inLines, what))
	})
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

// shortSeen is what was seen, the gas, and what happened of its own.
func (v view) shortSeen(f *handover.Summary) row {
	r := v.shortSigns(f)
	if g := f.Gas; g != nil {
		r.add(gasSaid(g, false), v.when(g.At)+", "+v.ago(g.At)+" old")
	}
	return beside(r, v.shortEpisodes(f))
}

// shortSigns is what was seen, by its moments, the latest first.
func (v view) shortSigns(f *handover.Summary) row {
	r := row{Label: "Seen"}
	type seen struct {
		at          time.Time
		entry       string
		values, old []string
	}
	var all []*seen
	add := func(s handover.Source, words, old string) {
		at := slices.IndexFunc(all, func(x *seen) bool { return x.entry == s.Entry })
		if at < 0 {
			at = len(all)
			all = append(all, &seen{at: s.At, entry: s.Entry})
		}
		all[at].values = append(all[at].values, words)
		if old != "" && !slices.Contains(all[at].old, old) {
			all[at].old = append(all[at].old, old)
		}
	}
	for _, o := range f.Observations {
		if words := shortObserved(f, o); words != "" {
			add(o.Source, words, v.howOld(f, "observations."+o.Field, o.At))
		}
	}
	if x := f.Silverman.Value; x != nil {
		add(x.Source, "Silverman "+strconv.Itoa(x.Total), "")
	}
	slices.SortStableFunc(all, func(a, b *seen) int { return b.at.Compare(a.at) })
	for _, x := range all {
		r.add(joined(", ", v.when(x.at), strings.Join(x.old, ", ")) + map[bool]string{true: ": ", false: " "}[len(x.old) > 0] +
			strings.Join(x.values, ", "))
	}
	if len(all) == 0 && f.Support.State == "on" {
		r.add("no observation charted")
	}
	return r
}

// gasSaid is a blood gas as read, with the units that are always the same or without.
func gasSaid(g *handover.Gas, units bool) string {
	var values []string
	for _, o := range g.Values {
		spec := handover.FieldOf("gas", o.Field)
		if !units && spec.Unit == "mmol/L" {
			spec.Unit = ""
		}
		values = append(values, withUnit(inList(spec.Label)+" "+minus(o.Value), spec.Unit))
	}
	return g.Sample + " gas " + strings.Join(values, ", ")
}

// minus writes a number below zero with the sign that cannot be taken for a dash.
func minus(number string) string {
	if rest, ok := strings.CutPrefix(number, "-"); ok {
		return "−" + rest
	}
	return number
}

// shortWords are observed fields with the words before their numbers; the others
// stand in the full form.
var shortWords = map[string]string{
	"spo2Percent": "SpO2 ", "heartRateBpm": "heart ", "respRateBpm": "breaths ", "axillaryC": "", "airwayC": "airway ",
	"abdomenCm": "abdomen ",
}

var shortUnits = map[string]string{"axillaryC": " °C", "airwayC": " °C", "abdomenCm": " cm"}

func shortObserved(f *handover.Summary, o handover.Observed) string {
	name, ok := shortWords[o.Field]
	if !ok {
		return ""
	}
	return name + o.Value + shortUnits[o.Field] + beyondTarget(f, o)
}

// beyondTarget says of the SpO2 that attention tells on which side of its target it lies.
func beyondTarget(f *handover.Summary, o handover.Observed) string {
	for _, a := range f.Attention {
		if a.What != "spo2" || o.Field != "spo2Percent" || a.Entry != o.Entry {
			continue
		}
		for _, side := range []string{"below", "above"} {
			if strings.Contains(a.Text, ", "+side+" ") {
				return " " + side + " target"
			}
		}
	}
	return ""
}

func (v view) shortEpisodes(f *handover.Summary) row {
	r := row{}
	words := "no episode charted"
	if n := f.Episodes.Window.Count; n > 0 {
		words = count(n, "episode", "episodes")
	}
	help := ""
	if h := f.Episodes.Helped; h != nil && !above(f, "episode", "") {
		help = "last help " + v.when(h.At)
	}
	r.add(words, help)
	return r
}
