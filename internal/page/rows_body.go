package page

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// skin tells what is not intact in full and first the worst; the rest is
// counted, and what nobody saw is named.
func (v view) skin(f *handover.Summary) row {
	r := row{Label: "Skin"}
	s := f.Skin
	var intact []handover.SkinSite
	for _, x := range s.Sites {
		if quiet(x) {
			intact = append(intact, x)
			continue
		}
		worst := ""
		if s.Worst != nil && s.Worst.Site == x.Site && x.Finding != "intact" {
			worst = "worst: "
		}
		change := ""
		switch x.Change {
		case "new", "worse":
			change = strings.ToUpper(x.Change)
		case "better":
			change = x.Change
		case "other":
			change = "another kind than before"
		}
		barrier := ""
		if b := x.UnderBarrier.Value; b != nil && *b {
			barrier = "under a barrier"
		} else if b != nil {
			barrier = "no barrier"
		}
		r.put(x.Finding != "intact", worst+plain(x.Site)+" "+plain(x.Finding), change, prefixed("also ", plains(x.Also)), barrier,
			v.hoursBeside(f, x.Site), "seen "+v.seenOf(f, "skin.sites."+x.Site, x.Source), prefixed("done: ", quoted(x.Action)),
			prefixed("note: ", quoted(x.Note)))
	}
	if len(intact) > 0 {
		at := func(a, b handover.SkinSite) int { return a.At.Compare(b.At) }
		first, last := slices.MinFunc(intact, at).At, slices.MaxFunc(intact, at).At
		seen := "seen " + v.when(first)
		if !first.Equal(last) {
			seen += " to " + v.when(last)
		}
		r.add(count(len(intact), "site", "sites")+" intact", seen)
		r.add(prefixed("to be seen again: ", v.oldSites(f, intact)))
	}
	if len(s.Sites) == 0 {
		r.apart("NOT CHARTED: no site seen in this stay")
	} else {
		never, earlier := notSeen(s)
		r.add(prefixed("never seen in this stay: ", sitesSaid(never)))
		r.add(prefixed("not seen since support began: ", sitesSaid(earlier)))
	}
	return r
}

// notSeen are the sites that nobody saw in the stay, so that a reader knows which
// ones are counted as intact, and those seen only before the spell.
func notSeen(s handover.Skin) (never, earlier []string) {
	for _, site := range entry.Sites {
		if !slices.ContainsFunc(s.Sites, func(x handover.SkinSite) bool { return x.Site == site }) {
			never = append(never, site)
		} else if u := s.Unseen.Value; u != nil && slices.Contains(*u, site) {
			earlier = append(earlier, site)
		}
	}
	return never, earlier
}

// oldSites are sites whose look is old, each with its age.
func (v view) oldSites(f *handover.Summary, sites []handover.SkinSite) string {
	var out []string
	for i := 0; i < len(sites); i++ {
		path := "skin.sites." + sites[i].Site
		if !isOld(f, path) {
			continue
		}
		together := []string{sites[i].Site}
		for i+1 < len(sites) && sites[i+1].At.Equal(sites[i].At) && isOld(f, "skin.sites."+sites[i+1].Site) {
			i++
			together = append(together, sites[i].Site)
		}
		out = append(out, sitesSaid(together)+" ("+v.aged(f, path, sites[i].At)+")")
	}
	return strings.Join(out, ", ")
}

// quiet says whether a site needs no more than counting.
func quiet(x handover.SkinSite) bool {
	return x.Finding == "intact" && len(x.Also) == 0 && x.Action == "" && x.Note == ""
}

func (v view) hoursBeside(f *handover.Summary, site string) string {
	if f.HoursUnder.Value == nil {
		return ""
	}
	for _, h := range *f.HoursUnder.Value {
		if h.Site == site {
			return h.Hours.String() + " h under the interface in 24 h"
		}
	}
	return ""
}

func (v view) tube(f *handover.Summary) row {
	r := row{Label: "Tube"}
	if f.Tubes.Value == nil {
		if f.Tubes.Applies {
			r.apart("NOT CHARTED whether a gastric tube is in")
		}
		return r
	}
	if len(*f.Tubes.Value) == 0 {
		r.add("no gastric tube in")
	}
	for _, t := range *f.Tubes.Value {
		size := "size NOT CHARTED"
		if t.SizeFr.Value != nil {
			size = t.SizeFr.Value.String() + " Fr"
		} else if !t.SizeFr.Applies {
			size = ""
		}
		// What was seen at the latest look is told without its moment again.
		of := func(s handover.Source) string {
			if s.At.Equal(t.CheckedAt) {
				return v.changedHands(s)
			}
			return " of " + v.seen(s)
		}
		moved := ""
		if t.Moved {
			moved = "MOVED: "
		}
		var ph, aspirate string
		if t.PH != nil {
			ph = "pH " + t.PH.Value.String() + of(t.PH.Source)
		}
		if t.Aspirate != nil {
			aspirate = "aspirate " + t.Aspirate.Value + of(t.Aspirate.Source)
		}
		r.put(t.Moved, moved+t.Route+" "+t.Use+" tube", size, "mark "+t.MarkCm.String()+" cm"+of(t.Source),
			"reference mark "+t.ReferenceMarkCm.String()+" cm", ph, aspirate, v.aspirateMore(t),
			"looked at "+v.toldOld(f, "tubes."+t.Use, t.CheckedAt))
		if t.XRay != nil {
			r.add("seen by X-ray " + v.seen(*t.XRay))
		}
		if t.EstimateCm.Value != nil {
			r.add("length by " + estimates[t.EstimateBy] + " " + t.EstimateCm.Value.String() + " cm (weight of " +
				v.moment(t.EstimateWeightAt) +
				"; a prompt, never an order)")
		}
	}
	return r
}

// estimates are the formulas of a tube's length as they are cited.
var estimates = map[string]string{"freeman-2012": "Freeman 2012"}

// aspirateMore is how much came back, and what it looked like.
func (v view) aspirateMore(t handover.Tube) string {
	var much, look string
	if x := t.AspirateMl; x != nil {
		much = x.Value.String() + " mL of " + v.seen(x.Source)
	}
	if x := t.AspirateLook; x != nil {
		look = "look " + quoted(x.Value) + " of " + v.seen(x.Source)
	}
	return joined(", ", much, look)
}

// toldOld is told of a fact that may be old: then its age stands on paper too.
func (v view) toldOld(f *handover.Summary, path string, at time.Time) string {
	if isOld(f, path) {
		return v.aged(f, path, at)
	}
	return v.told(at)
}

// moment is when, or nothing for no moment.
func (v view) moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return v.when(t)
}

// growth is head and weight with their places on the standards, which the
// heading names.
func (v view) growth(f *handover.Summary) row {
	r := row{Label: "Growth"}
	score := func(s handover.Score) string {
		if s.Z == nil {
			return prefixed("no z-score: ", noZ[s.NoZ])
		}
		centile := ""
		if s.Centile != nil {
			centile = ", centile " + s.Centile.String()
		}
		return "z " + s.Z.String() + centile + " [" + v.standards[s.Standard] + "]"
	}
	switch x := f.Head.Value; {
	case x != nil:
		r.add("head "+x.CircumferenceCm.String()+" cm", v.seen(x.Source), prefixed("UNRELIABLE: ", x.Unreliable), score(x.Score),
			v.growing(x.Growth))
	case f.Head.Applies:
		r.apart("head NOT CHARTED")
	}
	switch x := f.Weight.Value; {
	case x != nil:
		r.add("weight "+x.WeightG.String()+" g", v.seen(x.Source), score(x.Score))
	case f.Weight.Applies, slices.Contains(f.Gaps, "weight"):
		r.apart("weight NOT CHARTED")
	}
	switch x := f.BirthWeight.Value; {
	case x != nil:
		r.add("birth weight "+x.WeightG.String()+" g", score(x.Score))
	case f.BirthWeight.Applies:
		r.apart("birth weight NOT CHARTED")
	}
	return r
}

func (v view) growing(g *handover.Growth) string {
	if g == nil {
		return ""
	}
	within := ""
	if g.WithinError {
		within = ", within measuring error"
	}
	return "growth " + g.CmPerWeek.String() + " cm a week since " + g.From.Value.String() + " cm of " + v.when(g.From.At) +
		v.changedHands(g.From.Source) + within
}

func (v view) bonnet(f *handover.Summary) row {
	r := row{Label: "Bonnet"}
	x := f.Bonnet.Value
	if x == nil {
		if f.Bonnet.Applies {
			r.apart("NOT CHARTED")
		}
		return r
	}
	switch {
	case x.Size.Value != nil:
		r.add("size " + said(*x.Size.Value) + prefixed(" since ", v.moment(x.Since)) + v.changedHands(x.Source))
	case x.Size.Applies:
		r.apart("size NOT CHARTED")
	default:
		r.add("none on" + prefixed(" since ", v.moment(x.At)) + v.changedHands(x.Source))
	}
	switch {
	case x.Fits.Value != nil && *x.Fits.Value:
		r.add("within its range")
	case x.Fits.Value != nil:
		r.apart("latest head OUT OF ITS RANGE")
	case x.Fits.Applies:
		r.apart("whether in range NOT CHARTED")
	}
	var reasons []string
	for _, reason := range x.Reasons {
		reasons = append(reasons, plain(reason.Reason)+" "+v.civil(reason.On))
	}
	r.add(prefixed("due for: ", strings.Join(reasons, ", ")))
	if !x.CheckFrom.IsZero() || !x.Latest.IsZero() {
		r.add("outgrown by forecast between " + v.forecastDay(x.CheckFrom) + " and " + v.forecastDay(x.Latest))
	}
	return r
}

func (v view) forecastDay(d entry.Date) string {
	if d.IsZero() {
		return "a day beyond the forecast"
	}
	return v.civil(d)
}
