package page

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"cotline/handover"
)

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
