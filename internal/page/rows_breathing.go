package page

import (
	"slices"
	"strconv"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
)

func (v view) support(f *handover.Summary) row {
	r := row{Label: "Support"}
	s := f.Support
	switch s.State {
	case "on":
		r.add(modeSaid(s.Mode) + " since " + v.told(s.ModeSince) + v.changedHands(s.Source))
		if !s.Since.Equal(s.ModeSince) {
			r.add("on support since " + v.told(s.Since))
		}
		if s.Driver == "" {
			r.add("driver not charted")
		}
		r.add(prefixed("driver ", said(s.Driver)))
		r.add(prefixed("why: ", quoted(s.Why)))
	case "off":
		r.add("OFF since "+v.told(s.StoppedAt)+v.changedHands(s.Source), prefixed("reason: ", plain(s.Reason)))
	default:
		r.add("none in this stay")
	}
	return r
}

// settings tells values that were set together with their moment once.
func (v view) settings(f *handover.Summary) row {
	r := row{Label: "Set"}
	type set struct {
		values []string
		source handover.Source
	}
	var sets []set
	for i := 0; i < len(f.Settings); i++ {
		s := f.Settings[i]
		if s.Fact == nil {
			continue
		}
		text := settingName(s.Field) + " " + withUnit(s.Fact.Value.String(), handover.FieldOf("settings", s.Field).Unit)
		if i+1 < len(f.Settings) && isTarget(f.Settings[i:i+2]) {
			i++
			text = "SpO2 target " + s.Fact.Value.String() + " to " + f.Settings[i].Fact.Value.String() + " %"
		}
		at := slices.IndexFunc(sets, func(x set) bool { return x.source.Entry == s.Fact.Entry && x.source.At.Equal(s.Fact.At) })
		if at < 0 {
			at = len(sets)
			sets = append(sets, set{source: s.Fact.Source})
		}
		sets[at].values = append(sets[at].values, text)
	}
	for _, x := range sets {
		r.add(strings.Join(x.values, ", ") + " set " + v.seen(x.source))
	}
	return beside(r, v.notSet(f))
}

// notSet names what the mode asks for and nobody charted.
func (v view) notSet(f *handover.Summary) row {
	var missing []string
	for _, s := range f.Settings {
		if s.Fact == nil {
			missing = append(missing, pathSaid("settings."+s.Field))
		}
	}
	r := row{Label: "Set"}
	if len(missing) > 0 {
		r.apart("NOT CHARTED: " + strings.Join(missing, ", "))
	}
	return r
}

// isTarget says whether two settings are the ends of one SpO2 target.
func isTarget(s []handover.Setting) bool {
	return s[0].Field == "spo2LowPercent" && s[1].Field == "spo2HighPercent" &&
		s[0].Fact != nil && s[1].Fact != nil && s[0].Fact.Entry == s[1].Fact.Entry
}

func (v view) oxygen(f *handover.Summary) row {
	r := row{Label: "Oxygen"}
	switch x := f.FiO2; {
	case x.Value != nil:
		mean := ""
		if m := x.Value.MeanPercent; m.Value != nil {
			mean = "mean " + m.Value.String() + " %"
		}
		if m := x.Value.MeanBefore; m.Value != nil {
			mean += " (" + m.Value.String() + " % in the window before)"
		}
		low, high := x.Value.MinPercent, x.Value.MaxPercent
		fio2 := "FiO2 " + low.String() + " to " + high.String() + " %"
		if low.Cmp(high) == 0 {
			fio2 = "FiO2 " + low.String() + " % throughout"
		}
		r.add(fio2, mean, raisedSaid(x.Value.Rises))
	case x.Applies:
		r.apart("FiO2 NOT CHARTED")
	}
	return beside(r, v.oxygenReached(f)).lead("in the window: ")
}

// oxygenReached counts the SpO2 of the window by the target.
func (v view) oxygenReached(f *handover.Summary) row {
	r := row{Label: "Oxygen"}
	switch x := f.SpO2; {
	case x.Value != nil && x.Value.Count == 0:
		r.add("SpO2 not charted")
	case x.Value != nil:
		n := *x.Value
		noTarget := ""
		if n.NoTarget > 0 {
			noTarget = strconv.Itoa(n.NoTarget) + " with no target set"
		}
		r.add("SpO2 in target "+strconv.Itoa(n.InTarget)+" of "+strconv.Itoa(n.Count),
			strconv.Itoa(n.Below)+" below", strconv.Itoa(n.Above)+" above", noTarget)
	case x.Applies:
		r.apart("SpO2 NOT CHARTED")
	}
	return r
}

func raisedSaid(n int) string {
	switch n {
	case 0:
		return "never raised"
	case 1:
		return "raised once"
	case 2:
		return "raised twice"
	}
	return "raised " + count(n, "time", "times")
}

// observed groups what was seen at one moment; what is overdue is told as last
// recorded, never as current.
func (v view) observed(f *handover.Summary) row {
	r := row{Label: "Seen"}
	last, oldest := "", "" // the path of a value that is old
	for _, d := range f.Due {
		if d.What == "observations" && d.State == "overdue" {
			last = "LAST RECORDED "
		}
	}
	var values []string
	for i, o := range f.Observations {
		spec := handover.FieldOf("observations", o.Field)
		if path := "observations." + o.Field; isOld(f, path) {
			oldest = path
		}
		switch {
		case o.Field == "spo2Site" && len(values) > 0: // with the SpO2 that it belongs to
			values[len(values)-1] += " (" + plain(o.Value) + ")"
		case o.Field == "bubbling":
			values = append(values, map[string]string{"true": "bubbling", "false": "NOT bubbling"}[o.Value])
		case o.Word:
			values = append(values, entry.InSentence(spec.Label)+" "+plain(said(o.Value)))
		default:
			values = append(values, entry.InSentence(spec.Label)+" "+withUnit(o.Value, spec.Unit))
		}
		if i+1 < len(f.Observations) && f.Observations[i+1].Entry == o.Entry {
			continue
		}
		if sum := f.Silverman.Value; sum != nil && sum.Entry == o.Entry {
			values = append(values, silvermanSaid(*sum))
		}
		r.put(last != "", last+strings.Join(values, ", "), v.seenOf(f, oldest, o.Source))
		oldest = ""
		values = nil
	}
	switch x := f.Silverman; {
	case x.Value != nil && slices.ContainsFunc(f.Observations, func(o handover.Observed) bool { return o.Entry == x.Value.Entry }):
	case x.Value != nil:
		r.add(silvermanSaid(*x.Value), v.seen(x.Value.Source))
	case x.Applies:
		r.apart("Silverman-Andersen NOT CHARTED")
	}
	return r
}

func silvermanSaid(x handover.Silverman) string {
	return "Silverman-Andersen " + strconv.Itoa(x.Total) + " of 10"
}

func (v view) indices(f *handover.Summary) row {
	r := row{Label: "Indices"}
	x := f.Indices.Value
	switch {
	case x == nil && f.Indices.Applies:
		r.apart("indices NOT COMPUTED: no SpO2 recent enough")
		return r
	case x == nil:
		return r
	}
	for _, index := range []struct {
		name  string
		value handover.Maybe[entry.Decimal]
	}{{"S/F", x.SF}, {"severity score (set CPAP)", x.Severity}, {"OSI (set CPAP)", x.OSI}} {
		switch {
		case index.value.Value != nil:
			r.add(index.name + " " + index.value.Value.String())
		case index.value.Applies:
			r.apart(index.name + " NOT COMPUTED: a set value is missing")
		}
	}
	return r.lead("from set values and SpO2 " + x.SpO2.String() + " % of " + v.seen(x.Source) + ": ")
}

func (v view) episodes(f *handover.Summary) row {
	r := row{Label: "Episodes"}
	if f.Episodes.Window == f.Episodes.Day {
		r.add("in the window and in 24 h: " + episodesSaid(f.Episodes.Day))
	} else {
		r.add("in the window: " + episodesSaid(f.Episodes.Window))
		r.add("in 24 h: " + episodesSaid(f.Episodes.Day))
	}
	if h := f.Episodes.Helped; h != nil {
		r.add("last that needed help " + v.seen(*h))
	}
	return r
}

func episodesSaid(c handover.EpisodeCount) string {
	if c.Count == 0 {
		return "none charted"
	}
	var signs, recovered []string
	for i, sign := range entry.Signs {
		if c.BySign[i] > 0 {
			signs = append(signs, sign+" "+strconv.Itoa(c.BySign[i]))
		}
	}
	for i, how := range entry.Recoveries {
		if c.ByRecovered[i] > 0 {
			recovered = append(recovered, plain(how)+" "+strconv.Itoa(c.ByRecovered[i]))
		}
	}
	return strconv.Itoa(c.Count) + " (" + strings.Join(signs, ", ") + prefixed("; ", strings.Join(recovered, ", ")) + ")"
}

// gas is the latest blood gas, as read.
func (v view) gas(f *handover.Summary) row {
	r := row{Label: "Gas"}
	if f.Gas != nil {
		r.add(gasSaid(f.Gas, true), v.byAt(f.Gas.Source))
	}
	return r
}

// limits are the alarm limits set on monitor and driver.
func (v view) limits(f *handover.Summary) row {
	r := row{Label: "Limits"}
	for _, o := range f.Limits {
		spec := handover.FieldOf("limits", o.Field)
		r.add(entry.InSentence(strings.ReplaceAll(spec.Label, " alarm, ", " alarm ")) + " " + withUnit(o.Value, spec.Unit) + " set " +
			v.seen(o.Source))
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
		values = append(values, withUnit(entry.InSentence(spec.Label)+" "+minus(o.Value), spec.Unit))
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
