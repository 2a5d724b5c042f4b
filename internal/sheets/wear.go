package sheets

import (
	"iter"

	"cotline/handover"
	"cotline/handover/entry"
)

// wearsSheet is a row a period in which an interface was on the face, of each infant's stay.
func wearsSheet(h *handover.Handover, records map[string]*entry.Record, policy *handover.Policy) sheet {
	type R = of[handover.Wear]
	c := clock{h.Zone}
	columns := infantColumns(func(r R) *handover.Summary { return r.Summary })
	columns = append(columns,
		column[R]{"Type", 10, func(r R) cell { return text(r.fact.Type, notCharted) }},
		column[R]{"Size", 10, func(r R) cell {
			return maybe(r.fact.Size, func(s string) cell { return text(s, notCharted) })
		}},
	)
	columns = append(columns, momentColumns(c, "On from", func(r R) cell { return c.moment(r.fact.From, notCharted) })...)
	columns = append(columns, momentColumns(c, "On until", func(r R) cell { return c.moment(r.fact.Until, "still on") })...)
	columns = append(columns,
		column[R]{"Hours on support", 8, func(r R) cell { return number(r.fact.Hours) }},
		column[R]{"Ended by", 12, func(r R) cell { return text(endings[r.fact.Ended], "still on") }},
		column[R]{"Reason it was put on", 10, func(r R) cell { return text(r.fact.Reason, notCharted) }},
	)
	columns = append(columns, sourceColumns(c, func(r R) handover.Source { return r.fact.Source }, func(r R) cell {
		return c.moment(r.fact.Charted, onTime)
	})...)
	columns = append(columns, keyColumn(func(r R) string { return r.Infant }))
	return table(wearsName, noHistory, wears(h, records, policy), infantKey[handover.Wear], columns...)
}

// endings are what ended a period, in words.
var endings = map[string]string{
	"another": "another type or size", "off": "taken off", "stopped": "support stopped", "discharge": "discharge",
}

func wears(h *handover.Handover, records map[string]*entry.Record, policy *handover.Policy) iter.Seq[of[handover.Wear]] {
	return each(h, func(s *handover.Summary) []handover.Wear {
		r := records[s.Infant]
		if r == nil {
			return nil
		}
		stay := r.Admitted(h.At)
		if stay == nil {
			return nil
		}
		return handover.Wears(policy, r, stay, h.At)
	})
}
