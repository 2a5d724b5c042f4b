package page

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// rows are all of one infant's facts in words: first what changed and what is
// due, then the breathing, the skin, the rest. A row without facts is left out.
func (v view) rows(f *handover.Summary) []row {
	all := []row{
		v.lookAlikes(f), v.conflicts(f), v.handed(f), v.changed(f), v.due(f), v.next(f),
		beside(v.support(f), v.settings(f)), v.limits(f),
		beside(v.oxygen(f), v.indices(f)),
		then(v.observed(f), v.episodes(f)), v.gas(f),
		beside(v.face(f), v.hours(f)), v.skin(f), v.tube(f),
		then(v.growth(f), v.bonnet(f)), then(v.humidifier(f), v.setup(f)), v.safety(f), v.cares(f), v.alarms(f),
		v.outlook(f), v.toldOf(f), v.notes(f.Notes), v.tasks(f.Tasks), v.plans(f),
		v.remarks(f), v.late(f), v.gaps(f), v.notComputed(f), then(v.thresholds(f), v.none(f)),
	}
	return slices.DeleteFunc(all, func(r row) bool { return len(r.Items) == 0 })
}

func (v view) changed(f *handover.Summary) row {
	r := row{Label: "Changed"}
	if f.New {
		return row{Label: r.Label, Items: []item{{"NEW on the ward since " + v.when(f.Since), true}}}
	}
	for _, c := range f.ShownChanges() {
		r.add(v.change(c))
	}
	if len(r.Items) == 0 {
		r.add("nothing of what was handed over")
	}
	return r.lead("since " + v.when(f.Since) + ": ")
}

func (v view) change(c handover.Change) string {
	unit := ""
	switch field, ok := strings.CutPrefix(c.Path, "settings."); {
	case ok:
		unit = handover.FieldOf("settings", field).Unit
	case c.Path == "head", strings.HasSuffix(c.Path, ".markCm"):
		unit = "cm"
	}
	arrow := " → "
	if c.From != nil && c.To != nil && c.From.Text == c.To.Text { // a later one of the same words
		arrow += "again "
	}
	text := pathSaid(c.Path) + " " + v.changeValue(c, c.From, "") + arrow + v.changeValue(c, c.To, unit)
	switch c.Why {
	case "late":
		text += " (ARRIVED LATE)"
	case "corrected":
		text += " (CORRECTED)"
	}
	return text
}

func (v view) changeValue(c handover.Change, x *handover.ChangeValue, unit string) string {
	if x == nil {
		return "not charted"
	}
	switch {
	case c.Path == "support.mode":
		return modeSaid(x.Text)
	case c.Path == "bonnet.in":
		return map[string]string{"true": "on", "false": "off"}[x.Text]
	case strings.HasSuffix(c.Path, ".in"):
		return map[string]string{"true": "in", "false": "out"}[x.Text]
	case x.Bare:
		return withUnit(x.Text, unit)
	case strings.HasPrefix(c.Path, "skin."), c.Path == "rotation.last":
		return plain(x.Text)
	case c.Path == "bonnet.due":
		day, reason, _ := strings.Cut(x.Text, " ")
		if d, err := entry.ParseDate(day); err == nil {
			return joined(" ", clock{at: v.at, zone: v.zone}.day(d), plain(reason))
		}
	}
	return said(x.Text)
}

// due tells what is overdue, due and deferred, each with its reason.
func (v view) due(f *handover.Summary) row {
	r := row{Label: "Due"}
	for _, d := range f.Due {
		what, at := dueName(d)+bracketed(whyDue(d)), v.dueMoment(d)
		switch d.State {
		case "overdue":
			by := ""
			if late := v.at.Sub(d.OverdueAt); v.ages && !d.OverdueAt.IsZero() && late >= time.Minute {
				by = elapsed(late) + " "
			}
			r.apart("OVERDUE "+by+what, prefixed("since ", v.moment(d.OverdueAt)), "was due "+at)
		case "deferred":
			r.add(what+" DEFERRED until "+v.told(d.Until), "was due "+at)
		default:
			over := ""
			if !d.At.IsZero() { // a civil day is overdue when it is over
				over = overdueFrom(v, d.OverdueAt)
			}
			r.add(what+" due "+at, over)
		}
	}
	if len(r.Items) == 0 {
		r.add("nothing overdue")
	}
	return r
}

func (v view) dueMoment(d handover.Due) string {
	if d.At.IsZero() {
		return v.day(d.On)
	}
	return v.told(d.At)
}

func overdueFrom(v view, t time.Time) string { return prefixed("overdue from ", v.moment(t)) }

// next is the whole plan ahead, and beyond it the days and moments that are known.
func (v view) next(f *handover.Summary) row {
	r := row{Label: "Next"}
	told := map[string]bool{}
	for _, n := range f.Next {
		told[n.What] = true
		r.add(v.nextName(f, n)+" "+v.nextMoment(n.DueAt, n.On), overdueFrom(v, n.OverdueAt))
	}
	later := func(what, state string, at, over handover.Maybe[time.Time]) {
		if at.Value != nil && state == "not-due" && !told[what] {
			n := handover.Next{What: what, DueAt: *at.Value}
			overdue := ""
			if over.Value != nil {
				overdue = overdueFrom(v, *over.Value)
			}
			r.add(v.nextName(f, n)+" "+v.told(*at.Value), overdue)
		}
	}
	day := func(what string, d entry.Date) {
		if !d.IsZero() && d.Start(v.zone).After(v.at) && !told[what] {
			r.add(v.nextName(f, handover.Next{What: what}) + " " + v.day(d))
		}
	}
	if x := f.Rotation.Value; x != nil {
		later("rotation", x.State, x.DueAt, x.OverdueAt)
	}
	later("skin", f.Skin.State, f.Skin.DueAt, f.Skin.Overdue)
	if x := f.Bonnet.Value; x != nil {
		day("bonnet", x.DueOn)
	}
	if x := f.Setup.Value; x != nil && x.CircuitDueOn.Value != nil {
		day("circuit", *x.CircuitDueOn.Value)
	}
	return r
}

func (v view) nextMoment(at time.Time, on entry.Date) string {
	if at.IsZero() {
		return v.day(on)
	}
	return v.told(at)
}

// nextName is a thing that falls due, with what it is about.
func (v view) nextName(f *handover.Summary, n handover.Next) string {
	name := dueName(handover.Due{What: n.What, Care: n.Care, Text: n.Text})
	switch {
	case n.What == "skin":
		name += bracketed(sitesSaid(f.Skin.DueSites))
	case n.What == "bonnet" && f.Bonnet.Value != nil:
		name += bracketed(plain(f.Bonnet.Value.Reason))
	}
	return name
}
