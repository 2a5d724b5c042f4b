package handover

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"cotline/handover/entry"
)

// conflicts: what two infants cannot share. Siblings may lie in one cot.
func (l *look) conflicts() []Attention {
	var out []Attention
	for _, c := range l.s.Conflicts {
		if c.What == "cot" && l.twins(c.Infant) {
			continue
		}
		other := l.ward[c.Infant].Cot
		if c.What == "cot" {
			other = "another infant"
		}
		out = append(out, now("SAME "+strings.ToUpper(c.What)+" "+c.Value+" as "+other, "conflicts"))
	}
	return out
}

// twins says whether another infant has the same mother.
func (l *look) twins(infant string) bool {
	return l.s.Mother != "" && l.s.Mother == l.ward[infant].Mother
}

// alarms: the latest of each sort in the stay.
func (l *look) alarms() []Attention {
	byAbout := map[string]*entry.Standing{}
	for _, e := range l.own["alarm"] {
		byAbout[e.Text("about")] = e
	}
	var out []Attention
	for _, e := range l.own["alarm"] {
		about := plainWords(e.Text("about"))
		if byAbout[e.Text("about")] != e {
			continue
		}
		at, told := e.Moment("settledAt")
		settled := told && !at.After(l.at)
		rung := l.clock(e.At.Time)
		switch {
		case !settled && l.inWindow(e.At.Time):
			out = append(out, now("ALARM "+about+" not settled, "+rung, "alarms").of(l.source(e)))
		case !settled && l.spell != nil && !e.At.Before(l.spell.start):
			out = append(out, know("alarm "+about+" not settled, "+rung, "alarms").of(l.source(e)))
		case settled && (l.inWindow(e.At.Time) || l.inWindow(at.Time)):
			out = append(out, know("alarm "+about+" "+rung+", settled "+l.clock(at.Time), "alarms").of(l.source(e)))
		}
	}
	return out
}

// episodes: the latest that needed bagging or was not over, whatever came after
// it, and the latest other one that needed help.
func (l *look) episodes() []Attention {
	in := slices.DeleteFunc(slices.Clone(l.own["episode"]), func(e *entry.Standing) bool { return !l.inWindow(e.At.Time) })
	worst := latest(in, being("recovered", "bagged", "not-yet"))
	helped := latest(in, func(e *entry.Standing) bool { return e != worst && e.Text("recovered") != "by-itself" })
	var out []Attention
	if worst != nil {
		how := map[string]string{"bagged": "BAGGED", "not-yet": "EPISODE not over"}[worst.Text("recovered")]
		out = append(out, now(how+l.lowest(worst)+", "+l.clock(worst.At.Time), "episodes").of(l.source(worst)))
	}
	if helped != nil {
		out = append(out, know("episode "+plainWords(helped.Text("recovered"))+l.lowest(helped)+", "+l.clock(helped.At.Time), "episodes").
			of(l.source(helped)))
	}
	return out
}

func (l *look) lowest(e *entry.Standing) string {
	s := ""
	if e.Has("lowestSpo2Percent") {
		s += ", SpO2 " + e.Text("lowestSpo2Percent")
	}
	if e.Has("lowestHeartRateBpm") {
		s += ", heart " + e.Text("lowestHeartRateBpm")
	}
	return s
}

// support: the latest stop because it was not enough, or the latest turn of the
// window.
func (l *look) support() []Attention {
	turns := slices.DeleteFunc(l.turns(), func(e *entry.Standing) bool { return !l.inWindow(e.At.Time) })
	if e := latest(turns, being("reason", "escalated")); e != nil && e.Text("state") == "stopped" {
		return one(now("SUPPORT ESCALATED, "+l.clock(e.At.Time), "support").of(l.source(e)))
	}
	e := latest(turns, always)
	if e == nil {
		return nil
	}
	text := "support started, " + plainWords(e.Text("mode"))
	switch {
	case e.Text("state") == "stopped":
		text = "support stopped"
		if e.Has("reason") {
			text += ", " + plainWords(e.Text("reason"))
		}
	case !l.begins(e):
		text = "support now " + plainWords(e.Text("mode"))
	}
	return one(know(text+", "+l.clock(e.At.Time), "support").of(l.source(e)))
}

// begins says whether an entry put support on, at first or after a break.
func (l *look) begins(e *entry.Standing) bool {
	return slices.ContainsFunc(l.spells, func(s *spell) bool {
		return s.start.Equal(e.At.Time) || slices.ContainsFunc(s.breaks, func(b stretch) bool { return b.to.Equal(e.At.Time) })
	})
}

// tubes: one that moved, and a check of one that is not in.
func (l *look) tubes() []Attention {
	var out []Attention
	for _, use := range tubeUses {
		name := map[string]string{"feeding": "TUBE", "venting": "VENTING TUBE"}[use]
		for _, t := range l.s.Tubes.orZero() {
			if t.Use == use && t.Moved {
				out = append(out, now(name+" "+t.ReferenceMarkCm.String()+" → "+t.MarkCm.String()+" cm, "+l.clock(t.At), "tubes."+use).
					of(t.Source))
			}
		}
		last := latest(l.own["tube"], func(e *entry.Standing) bool { return tubeUse(e) == use })
		if last != nil && !l.tube(use).in && being("action", "checked", "repositioned")(last) {
			out = append(out, now(name+" "+last.Text("action")+", none charted in, "+l.clock(last.At.Time), "tubes."+use).
				of(l.source(last)))
		}
	}
	return out
}

// face: the interface off for longer than a rest while support is on.
func (l *look) face() []Attention {
	f := l.s.Interface.Value
	if f == nil || f.Type != "off" || l.at.Sub(latestOf(f.Since, l.spell.start)) <= l.p.Rest {
		return nil
	}
	return one(now("INTERFACE OFF since "+l.clock(f.Since), "interface").of(f.Source))
}

// skin: each site that is new, worse or not to be compared, then any other that is
// not intact, or that bleeds or blisters.
func (l *look) skin() []Attention {
	var out []Attention
	for _, x := range l.s.Skin.Sites {
		text := plainWords(x.Site) + " " + plainWords(x.Finding)
		for _, also := range x.Also {
			text += ", " + also
		}
		path := "skin.sites." + x.Site
		turned := slices.Contains([]string{"new", "worse", "other"}, x.Change)
		switch {
		case turned && x.Finding != "intact" && x.Finding != "blanching":
			if x.Change != "other" {
				text += ", " + x.Change
			}
			out = append(out, now("SKIN "+text+", "+l.clock(x.At), path).of(x.Source))
		case x.Finding != "intact" || slices.Contains(x.Also, "bleeding") || slices.Contains(x.Also, "blister"):
			out = append(out, know(text+", "+l.clock(x.At), path).of(x.Source))
		}
	}
	return out
}

// outlook: as charted.
func (l *look) outlook() []Attention {
	o := l.s.Outlook.orZero()
	switch o.Severity {
	case "unstable":
		return one(now("UNSTABLE", "outlook").of(o.Source))
	case "watcher":
		return one(know("WATCHER", "outlook").of(o.Source))
	}
	return nil
}

// handsOn is what is overdue at once; the rest is to be known. Water is told by
// warmth.
var handsOn = []string{"rotation", "skin", "observations", "tube", "care", "oxygen-sensor"}

// overdue: what is overdue, longest first.
func (l *look) overdue() []Attention {
	all := slices.DeleteFunc(slices.Clone(l.s.Due), func(d Due) bool { return d.State != "overdue" || d.What == "water" })
	slices.SortStableFunc(all, func(a, b Due) int { return a.OverdueAt.Compare(b.OverdueAt) })
	var at, later []string
	for _, d := range all {
		text := plainWords(d.What)
		switch d.What {
		case "safety":
			text = "safety check"
		case "care":
			text = plainWords(d.Care)
		case "task":
			text = "“" + oneLine(d.Text) + "”"
		}
		if slices.Contains(handsOn, d.What) {
			at = append(at, text)
		} else {
			later = append(later, text)
		}
	}
	var out []Attention
	if len(at) > 0 {
		out = append(out, now("OVERDUE "+strings.Join(at, ", "), "due"))
	}
	if len(later) > 0 {
		out = append(out, know("overdue "+strings.Join(later, ", "), "due"))
	}
	return out
}

// missing: each of what support is set by that nobody charted, and how many other
// gaps there are.
func (l *look) missing() []Attention {
	var out []Attention
	rest := 0
	for _, path := range l.s.Gaps {
		if said := firstGaps[path]; said != "" {
			out = append(out, now("NOT CHARTED "+said, path))
		} else {
			rest++
		}
	}
	if rest > 0 {
		other := ""
		if len(out) > 0 {
			other = "other "
		}
		out = append(out, know(count(rest, other+"gap", other+"gaps")+" in what is charted", "gaps"))
	}
	return out
}

// count is a number with its noun.
func count(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + more
}

var firstGaps = map[string]string{
	"settings.pressureCmH2O": "set pressure", "settings.fio2Percent": "set FiO2", "interface": "interface",
	"settings.spo2LowPercent": "lower bound of the SpO2 target",
}

// newcomer: an infant whom the handover before did not hold.
func (l *look) newcomer() []Attention {
	if !l.s.New {
		return nil
	}
	return one(know("NEW, admitted "+l.clock(l.stay.Admission.At.Time), "new"))
}

// lookAlikes: each infant who could be taken for this one.
func (l *look) lookAlikes() []Attention {
	var out []Attention
	for _, x := range l.s.LookAlikes {
		out = append(out, know("LOOK-ALIKE "+l.ward[x.Infant].Cot+" ("+x.Why+")", "lookAlikes"))
	}
	return out
}

// handingOver: signed and not accepted, or lately accepted without a look at one of
// the five.
func (l *look) handingOver() []Attention {
	h := l.s.HandedOver
	switch {
	case h == nil:
	case h.Accepted == nil:
		return one(know("handed over to "+h.To+" "+l.clock(h.At)+", not accepted", "handedOver"))
	case len(h.Accepted.NotConfirmed) > 0 && l.at.Sub(h.AsOf) <= confirmWithin:
		return one(know("not confirmed at handover: "+strings.Join(saidAll(h.Accepted.NotConfirmed), ", "), "handedOver"))
	}
	return nil
}

// confirmWithin is how long it matters that something was not looked at.
const confirmWithin = 6 * time.Hour

func saidAll(words []string) []string {
	out := make([]string, len(words))
	for i, w := range words {
		if out[i] = plainWords(w); w == "fio2" {
			out[i] = "FiO2"
		}
	}
	return out
}
