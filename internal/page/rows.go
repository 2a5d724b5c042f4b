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
		v.changed(f), v.due(f), v.next(f),
		beside(v.support(f), v.settings(f)),
		beside(v.oxygen(f), v.indices(f)),
		then(v.observed(f), v.episodes(f)),
		beside(v.face(f), v.hours(f)), v.skin(f), v.tube(f),
		then(v.growth(f), v.bonnet(f)), then(v.humidifier(f), v.setup(f)), v.cares(f), v.alarms(f), v.outlook(f), v.notes(f.Notes), v.tasks(f.Tasks), v.plans(f),
		v.remarks(f), v.late(f), v.gaps(f), v.notComputed(f), then(v.thresholds(f), v.none(f)),
	}
	return slices.DeleteFunc(all, func(r row) bool { return len(r.Items) == 0 })
}

// beside puts a second row's facts on after the first's, to save paper.
func beside(a, b row) row {
	a.Items = append(a.Items, b.Items...)
	return a
}

// then is beside, of facts that need their own label: it stands before the first.
func then(a, b row) row {
	if len(a.Items) == 0 {
		return b
	}
	return beside(a, b.lead(strings.ToLower(b.Label)+": "))
}

func (v view) changed(f *handover.Summary) row {
	r := row{Label: "Changed"}
	if f.New {
		return row{Label: r.Label, Items: []item{{"NEW on the ward since " + v.when(f.Since), true}}}
	}
	for _, c := range shownChanges(f) {
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
		unit = specOf("settings", field).Unit
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
			r.mark("OVERDUE "+by+what, prefixed("since ", v.moment(d.OverdueAt)), "was due "+at)
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
		r.add("nothing due now")
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

// next is what falls due later, by its moment.
func (v view) next(f *handover.Summary) row {
	type later struct {
		at   time.Time
		text string
	}
	var all []later
	moment := func(what, state string, at, over handover.Maybe[time.Time]) {
		if at.Value == nil || state != "not-due" {
			return
		}
		text := what + " " + v.told(*at.Value)
		if over.Value != nil {
			text += ", " + overdueFrom(v, *over.Value)
		}
		all = append(all, later{*at.Value, text})
	}
	day := func(what string, d entry.Date) {
		if start := d.Start(v.zone); !d.IsZero() && start.After(v.at) {
			all = append(all, later{start, what + " " + v.day(d)})
		}
	}
	if x := f.Rotation.Value; x != nil {
		moment("rotation", x.State, x.DueAt, x.OverdueAt)
	}
	moment("skin check ("+sitesSaid(f.Skin.DueSites)+")", f.Skin.State, f.Skin.DueAt, f.Skin.Overdue)
	if x := f.Bonnet.Value; x != nil {
		day(dueNames["bonnet"]+bracketed(plain(x.Reason)), x.DueOn)
	}
	if x := f.Setup.Value; x != nil && x.CircuitDueOn.Value != nil {
		day(dueNames["circuit"], *x.CircuitDueOn.Value)
	}
	slices.SortStableFunc(all, func(a, b later) int { return a.at.Compare(b.at) })
	r := row{Label: "Next"}
	for _, l := range all {
		r.add(l.text)
	}
	return r
}
