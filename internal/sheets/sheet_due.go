package sheets

import "cotline/handover"

// dueSheet is a row a thing that is due, overdue or deferred.
func dueSheet(h *handover.Handover) sheet {
	type R = of[handover.Due]
	c := clock{h.Zone}
	columns := infantColumns(func(r R) *handover.Summary { return r.Summary })
	columns = append(columns,
		column[R]{"What", 14, func(r R) cell { return text(r.fact.What, notCharted) }},
		column[R]{"State", 10, func(r R) cell { return text(r.fact.State, notCharted) }},
	)
	columns = append(columns, momentColumns(c, "Due", func(r R) cell {
		if !r.fact.On.IsZero() {
			return day(r.fact.On, doesNotApply)
		}
		return c.moment(r.fact.At, doesNotApply)
	})...)
	columns = append(columns, momentColumns(c, "Overdue from", func(r R) cell { return c.moment(r.fact.OverdueAt, "never") })...)
	columns = append(columns, momentColumns(c, "Deferred until", func(r R) cell { return c.moment(r.fact.Until, doesNotApply) })...)
	columns = append(columns,
		column[R]{"Which", 30, func(r R) cell { return text(r.fact.Care+r.fact.Text, doesNotApply) }},
		column[R]{"Every", 8, func(r R) cell { return text(r.fact.Every, doesNotApply) }},
		column[R]{"Interval by", 10, func(r R) cell { return intervalBy(r.fact) }},
		column[R]{"Why", 30, func(r R) cell { return text(r.fact.Why, none) }},
		column[R]{"Task", 38, func(r R) cell { return text(r.fact.Task, doesNotApply) }},
		keyColumn(func(r R) string { return r.Infant }),
	)
	rows := each(h, func(s *handover.Summary) []handover.Due { return s.Due })
	return table("Due", "Nothing is due, overdue or deferred.", rows, infantKey[handover.Due], columns...)
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
