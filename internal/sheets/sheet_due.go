package sheets

import (
	"iter"
	"slices"
	"time"

	"cotline/handover"
)

// planned is something to do: now, put off, or ahead.
type planned = of[handover.Due]

// dueSheet is the whole ward's plan in the order of what to do: overdue, the longest first, due, what comes next, put off.
func dueSheet(h *handover.Handover) sheet {
	c := clock{h.Zone}
	columns := []column[planned]{
		{"State", 8, func(r planned) cell { return text(r.fact.State, notCharted) }},
		{"Cot", 7, func(r planned) cell { return text(r.Cot, notCharted).back(r.Summary) }},
		{"Name", 18, func(r planned) cell { return name(r.Summary) }},
		{numberHead, 9, func(r planned) cell { return text(numberOrLabel(r.MRN, r.Temporary), notCharted) }},
		{"What", 12, func(r planned) cell { return text(r.fact.What, notCharted) }},
		{"Care or task", 30, func(r planned) cell { return text(r.fact.Care+r.fact.Text, noPart) }},
	}
	columns = append(columns, momentColumns(c, "Due", func(r planned) cell {
		if !r.fact.On.IsZero() {
			return day(r.fact.On, doesNotApply)
		}
		return c.moment(r.fact.At, doesNotApply)
	})...)
	columns = append(columns, momentColumns(c, "Overdue from", func(r planned) cell { return c.moment(r.fact.OverdueAt, "never") })...)
	columns = append(columns, momentColumns(c, "Deferred until", func(r planned) cell { return c.moment(r.fact.Until, noPart) })...)
	printed := len(columns)
	columns = append(columns,
		column[planned]{"Every", 14, func(r planned) cell { return text(r.fact.Every, doesNotApply) }},
		column[planned]{"Interval by", 18, func(r planned) cell { return intervalBy(r.fact) }},
		column[planned]{"Why", 60, func(r planned) cell { return text(r.fact.Why, none) }},
		column[planned]{"Task", 38, func(r planned) cell { return text(r.fact.Task, doesNotApply).linked(r.fact.Task) }},
		keyColumn(func(r planned) string { return r.Infant }),
	)
	s := table("Due", "Nothing is due, overdue, deferred or ahead.", plan(h), infantKey[handover.Due], columns...)
	s.printed, s.keep = printed, 3
	return s
}

// plan is what is due of every infant and what comes after it, in the order of what to do.
func plan(h *handover.Handover) iter.Seq[planned] {
	return func(yield func(planned) bool) {
		for _, state := range []string{"overdue", "due", stateNext, "deferred"} {
			var all []planned
			for _, s := range h.Infants {
				for _, d := range s.Due {
					if d.State == state {
						all = append(all, planned{s, d})
					}
				}
				if state != stateNext {
					continue
				}
				for _, n := range s.Next {
					all = append(all, planned{s, handover.Due{What: n.What, Care: n.Care, Task: n.Task, Text: n.Text, At: n.DueAt,
						On: n.On, OverdueAt: n.OverdueAt, State: stateNext}})
				}
			}
			slices.SortStableFunc(all, func(a, b planned) int { return whenOf(a.fact, h.Zone).Compare(whenOf(b.fact, h.Zone)) })
			for _, p := range all {
				if !yield(p) {
					return
				}
			}
		}
	}
}

// stateNext is of what falls due later.
const stateNext = "next"

// whenOf is what it is sorted by: since when it is overdue or due, until when it is put off.
func whenOf(d handover.Due, zone *time.Location) time.Time {
	switch {
	case d.State == "overdue":
		return d.OverdueAt
	case d.State == "deferred":
		return d.Until
	case d.At.IsZero():
		return d.On.Start(zone)
	}
	return d.At
}

func intervalBy(d handover.Due) cell {
	switch {
	case d.Every == "":
		return word(doesNotApply)
	case d.Planned:
		return word("the infant's plan")
	}
	return word("the unit's policy")
}
