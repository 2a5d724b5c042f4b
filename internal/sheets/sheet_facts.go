package sheets

import (
	"iter"

	"cotline/handover"
)

// factsSheet is a row a fact of the handover, each with the entry it came from; the unit's own come last.
func factsSheet(h *handover.Handover) sheet {
	type R = of[factLine]
	c := clock{h.Zone}
	columns := whoColumns(func(r R) *handover.Summary { return r.Summary })
	columns = append(columns,
		column[R]{"Fact", 26, func(r R) cell { return text(factWords(r.fact.path), none) }},
		column[R]{"Value", 24, func(r R) cell { return r.fact.value.linked(r.fact.Entry) }},
		column[R]{"Unit or remark", 22, func(r R) cell { return text(r.fact.remark, none) }},
	)
	columns = append(columns, momentColumns(c, "Happened", func(r R) cell { return c.moment(r.fact.At, computed) })...)
	columns = append(columns, sourceColumns(c, func(r R) handover.Source { return r.fact.Source }, func(r R) cell {
		if r.fact.Charted.IsZero() && !r.fact.At.IsZero() {
			return word(onTime)
		}
		return c.moment(r.fact.Charted, computed)
	})...)
	columns = append(columns,
		column[R]{"Path", 28, func(r R) cell { return text(r.fact.path, none) }},
		keyColumn(func(r R) string { return r.Infant }),
	)
	return table(factsName, "No fact.", allFacts(h), infantKey[factLine], columns...)
}

func allFacts(h *handover.Handover) iter.Seq[of[factLine]] {
	c := clock{h.Zone}
	return func(yield func(of[factLine]) bool) {
		for r := range each(h, func(s *handover.Summary) []factLine { return factLinesOf(s, c) }) {
			if !yield(r) {
				return
			}
		}
		for _, l := range h.Left {
			gone := &handover.Summary{Infant: l.Infant, Cot: l.Cot, MRN: l.MRN, Temporary: l.Temporary,
				Family: l.Family, Given: l.Given, Restricted: l.Restricted}
			if !yield(of[factLine]{gone, factLine{"left", text(l.To, notCharted), l.Place, l.Source}}) {
				return
			}
		}
		for _, l := range h.Late {
			from := handover.Source{Entry: l.Entry, At: l.At, Charted: l.Charted, By: l.By}
			remark := l.Kind + ": written in time, and came in after the handover before was signed"
			if l.How == "written" {
				remark = l.Kind + ": written down only after the handover before was signed"
			}
			if !yield(of[factLine]{summaryOf(h, l.Infant), factLine{"late." + l.How, text(l.Text, none), remark, from}}) {
				return
			}
		}
		f := &factLines{clock: c}
		f.notes(h.Notes)
		f.tasks(h.Tasks)
		for _, x := range f.list {
			if !yield(of[factLine]{unitSummary, x}) {
				return
			}
		}
	}
}

// unitSummary stands for the unit where a row is about no infant.
var unitSummary = &handover.Summary{}

func summaryOf(h *handover.Handover, infant string) *handover.Summary {
	for _, s := range h.Infants {
		if s.Infant == infant {
			return s
		}
	}
	return unitSummary
}

// whoColumns are infantColumns for rows that may be about the whole unit.
func whoColumns[T any](infant func(T) *handover.Summary) []column[T] {
	columns := infantColumns(infant)
	for i, c := range columns {
		columns[i].cell = func(r T) cell {
			if infant(r) == unitSummary {
				return word(wholeUnit)
			}
			return c.cell(r)
		}
	}
	return columns
}
