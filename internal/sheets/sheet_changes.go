package sheets

import (
	"cotline/handover"
	"cotline/handover/entry"
)

// changesSheet is a row a fact that differs from what the last nurse was told.
func changesSheet(h *handover.Handover) sheet {
	type R = of[handover.Change]
	columns := infantColumns(func(r R) *handover.Summary { return r.Summary })
	columns = append(columns,
		column[R]{"Fact", 24, func(r R) cell { return text(pathWords(r.fact.Path), notCharted) }},
		column[R]{"From", 24, func(r R) cell { return changed(r.fact.From) }},
		column[R]{"To", 24, func(r R) cell { return changed(r.fact.To) }},
		column[R]{"Why", 12, func(r R) cell { return text(r.fact.Why, notCharted) }},
		column[R]{"Entry", 36, func(r R) cell { return entryCell(r.fact.Entry, none) }},
		column[R]{"Path", 26, func(r R) cell { return text(r.fact.Path, notCharted) }},
		keyColumn(func(r R) string { return r.Infant }),
	)
	rows := each(h, func(s *handover.Summary) []handover.Change { return s.Changes })
	return table("Changes", "Nothing changed since the last handover.", rows, infantKey[handover.Change], columns...)
}

// changed is a value as it was or is: a number, yes or no, or a short text.
func changed(v *handover.ChangeValue) cell {
	switch {
	case v == nil:
		return word("nothing")
	case v.Bare && v.Text == "true":
		return yesNo(true)
	case v.Bare && v.Text == "false":
		return yesNo(false)
	}
	if d, err := entry.ParseDecimal(v.Text); err == nil && v.Bare {
		return number(d)
	}
	return text(v.Text, notCharted)
}

func infantKey[F any](r of[F]) string { return "infant " + r.Infant }
