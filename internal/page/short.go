package page

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
)

// short are the facts of one infant as a nurse tells them: a dozen lines, without
// what only the full form needs. A row without facts is left out.
func (v view) short(f *handover.Summary) []row {
	all := []row{
		v.shortDue(f), v.shortSupport(f), v.shortSeen(f), v.shortFace(f), v.shortTube(f), v.shortWarmth(f),
		v.shortOutlook(f), v.shortHanded(f), v.shortGaps(f), v.shortDoubts(f),
	}
	return slices.DeleteFunc(all, func(r row) bool { return len(r.Items) == 0 })
}

// shortName is an infant in the line above its facts, by cot, name and number.
func shortName(f *handover.Summary) []string {
	number := "no number"
	if f.MRN != "" {
		number = "no. " + said(f.MRN)
	}
	name := nameOf(f)
	if f.Formerly != "" && !f.Restricted {
		name += " (formerly " + said(f.Formerly) + ")"
	}
	return []string{said(f.Cot), name, number}
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
			weight += " on " + v.civil(handover.DateOf(x.At, v.zone))
		}
	}
	who := children[f.Sex]
	return joined("  ", who, joined(", ", weeks, "day "+string(whole(f.Age.DayOfLife)), weight))
}

// shortDue is what is overdue, due, deferred, and all that comes next.
func (v view) shortDue(f *handover.Summary) row {
	r := row{Label: "Due"}
	late, now := false, false
	for _, d := range f.Due {
		what := shortDueName(d)
		switch d.State {
		case "overdue":
			late = true
			r.add("OVERDUE " + what + prefixed(" since ", v.moment(d.OverdueAt)))
		case "deferred":
			r.add(what + " put off until " + v.when(d.Until))
		default:
			now = true
			r.add(what + " due since " + v.shortDueMoment(d.At, d.On))
		}
	}
	next := v.coming(f)
	if len(next) > 0 {
		switch {
		case late || now:
			next[0] = "next " + next[0]
		default:
			next[0] = "nothing overdue; next " + next[0]
		}
	} else if !late && !now {
		r.add("nothing overdue, and nothing that falls due in the hours ahead")
	}
	for _, words := range next {
		r.add(words)
	}
	return r
}

// shortDueName is a thing in as few words as it is told by.
func shortDueName(d handover.Due) string {
	switch d.What {
	case "care":
		return said(plain(d.Care))
	case "task":
		return quoted(d.Text)
	case "skin", "tube", "circuit", "bonnet", "head":
		return d.What
	}
	return dueNames[d.What]
}

func (v view) shortDueMoment(at time.Time, on handover.Date) string {
	if at.IsZero() {
		return clock{at: v.at, zone: v.zone}.day(on)
	}
	return v.when(at)
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
	var missing []string
	for _, s := range f.Settings {
		switch {
		case s.Fact != nil:
			set[s.Field] = s.Fact.Value.String()
		default:
			missing = append(missing, settingName(s.Field))
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
	if x := f.FiO2.Value; x != nil && fio2 != "" {
		mean := ""
		if m := x.MeanPercent.Value; m != nil && x.MinPercent.Cmp(x.MaxPercent) != 0 {
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
	r.add(mode, prefixed("rate ", set["rateMin"]), prefixed("inspiratory time ", set["inspiratoryS"]), fio2,
		prefixed("flow ", set["flowLMin"]), target)
	if len(missing) > 0 {
		r.add("NOT CHARTED " + strings.Join(missing, ", "))
	}
}

// fio2Range is what was set in the window.
func fio2Range(x handover.FiO2Window) string {
	if x.MinPercent.Cmp(x.MaxPercent) == 0 {
		return x.MinPercent.String() + " throughout"
	}
	return x.MinPercent.String() + " to " + x.MaxPercent.String()
}

// shortNumber is a computed number without the noughts at its end.
func shortNumber(d handover.Decimal) string {
	s := d.String()
	if strings.Contains(s, ".") {
		s = strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// shortSeen is what was seen, by its moments, the latest first.
func (v view) shortSeen(f *handover.Summary) row {
	r := row{Label: "Seen"}
	type seen struct {
		at     time.Time
		entry  string
		values []string
	}
	var all []*seen
	add := func(s handover.Source, words string) {
		for _, x := range all {
			if x.entry == s.Entry {
				x.values = append(x.values, words)
				return
			}
		}
		all = append(all, &seen{s.At, s.Entry, []string{words}})
	}
	for _, o := range f.Observations {
		if words := v.shortObserved(f, o); words != "" {
			add(o.Source, words)
		}
	}
	if x := f.Silverman.Value; x != nil {
		add(x.Source, "Silverman "+string(whole(x.Total)))
	}
	slices.SortStableFunc(all, func(a, b *seen) int { return b.at.Compare(a.at) })
	for _, x := range all {
		r.add(v.when(x.at) + " " + strings.Join(x.values, ", "))
	}
	if len(all) == 0 && f.Support.State == "on" {
		r.add("no observation charted")
	}
	return beside(r, v.shortEpisodes(f))
}

// shortWords are observed fields with the words before their numbers; the others
// stand in the full form.
var shortWords = map[string]string{"spo2Percent": "SpO2", "heartRateBpm": "heart", "respRateBpm": "breaths"}

func (v view) shortObserved(f *handover.Summary, o handover.Observed) string {
	if o.Field == "axillaryC" {
		return o.Value + " °C"
	}
	name, ok := shortWords[o.Field]
	if !ok {
		return ""
	}
	return name + " " + o.Value + v.aged(f, "observations."+o.Field, o.At)
}

// aged is how old a fact is that the engine calls old.
func (v view) aged(f *handover.Summary, path string, at time.Time) string {
	if !v.isOld(f, path) {
		return ""
	}
	return " (" + elapsed(v.at.Sub(at)) + " old)"
}

func (v view) shortEpisodes(f *handover.Summary) row {
	r := row{}
	words := "no episode charted"
	if n := f.Episodes.Window.Count; n > 0 {
		words = count(n, "episode", "episodes")
	}
	help := ""
	if h := f.Episodes.Helped; h != nil {
		help = "last help " + v.when(h.At)
	}
	r.add(words, help)
	return r
}
