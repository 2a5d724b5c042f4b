package page

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// shortDue is what is overdue, due, put off, and then the whole plan ahead. Nothing is
// said to be due only with the next moment beside it.
func (v view) shortDue(f *handover.Summary) row {
	var overdue, due, off []string
	for _, d := range f.Due {
		what := shortDueName(d.What, d.Care, d.Text)
		switch d.State {
		case "overdue":
			overdue = append(overdue, joined(" ", what, v.moment(d.OverdueAt)))
		case "deferred":
			off = append(off, what+" until "+v.when(d.Until))
		default:
			due = append(due, what+" "+v.dueFrom(d))
		}
	}
	next := strings.Join(v.comingUp(f), "; ")
	if next == "" && len(overdue)+len(due) == 0 {
		next = v.farOff(f)
	}
	r := row{Label: "Due"}
	if !slices.ContainsFunc(f.Due, func(d handover.Due) bool { return d.State != "deferred" }) && !above(f, "overdue", "") && next != "" {
		r.add("nothing overdue")
	}
	r.add(prefixed("OVERDUE since: ", strings.Join(overdue, ", ")))
	r.add(prefixed("due since: ", strings.Join(due, ", ")))
	r.add(prefixed("put off: ", strings.Join(off, ", ")))
	r.add(prefixed("next ", next))
	return r
}

// comingUp is the plan ahead, each thing by the moment that it is told by.
func (v view) comingUp(f *handover.Summary) []string {
	type item struct {
		at    time.Time
		words string
	}
	var all []item
	for _, n := range f.Next {
		what := shortDueName(n.What, n.Care, n.Text)
		switch {
		case n.DueAt.IsZero():
			all = append(all, item{n.On.Start(v.zone), what + " " + v.plainDay(n.On)})
		case n.What == "water" && !n.OverdueAt.IsZero():
			all = append(all, item{n.OverdueAt, "water about " + v.when(n.OverdueAt)})
		case n.What == "task":
			all = append(all, item{n.DueAt, v.when(n.DueAt) + " " + what})
		default:
			all = append(all, item{n.DueAt, what + " " + v.when(n.DueAt)})
		}
	}
	slices.SortStableFunc(all, func(a, b item) int { return a.at.Compare(b.at) })
	var out []string
	for _, x := range all {
		out = append(out, x.words)
	}
	return out
}

// farOff is the first day on which anything falls due that lies beyond the plan.
func (v view) farOff(f *handover.Summary) string {
	var day entry.Date
	what := ""
	if x := f.Bonnet.Value; x != nil && !x.DueOn.IsZero() {
		day, what = x.DueOn, "bonnet"
	}
	if x := f.Setup.Value; x != nil && x.CircuitDueOn.Value != nil && (what == "" || x.CircuitDueOn.Value.Sub(day) < 0) {
		day, what = *x.CircuitDueOn.Value, "circuit"
	}
	if what == "" {
		return "not known: nothing is charted that is due by the clock"
	}
	return what + " " + v.plainDay(day)
}

// dueFrom is since when a thing is due: a moment, or the day.
func (v view) dueFrom(d handover.Due) string {
	if d.At.IsZero() {
		return v.plainDay(d.On)
	}
	return v.when(d.At)
}

// plainDay is a civil day, by its weekday in the week ahead.
func (v view) plainDay(d entry.Date) string {
	t, err := time.Parse(time.DateOnly, d.String())
	switch n := d.Sub(entry.DateOf(v.at, v.zone)); {
	case err != nil:
		return d.String()
	case n == 0:
		return "today"
	case n > 0 && n < 7:
		return strings.TrimSpace(t.Format(weekday))
	}
	return t.Format(weekday) + v.civil(d)
}

// shortDueName is a thing in as few words as it is told by.
func shortDueName(what, care, text string) string {
	switch what {
	case "care":
		return said(plain(care))
	case "task":
		return quoted(text)
	case "skin", "tube", "circuit", "bonnet", "head", "humidifier":
		return what
	case "oxygen-sensor":
		return "oxygen sensor"
	}
	return dueNames[what]
}
