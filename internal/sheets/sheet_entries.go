package sheets

import (
	"slices"

	"cotline/handover"
)

// entriesSheet is a row an entry, every one of the reading in the record's order.
func entriesSheet(h *handover.Handover, entries []listed) sheet {
	c := clock{h.Zone}
	numbers := numbersOf(h)
	columns := []column[listed]{
		keyColumn(func(e listed) string { return e.Infant }),
		{numberHead, 16, func(e listed) cell {
			if e.Infant == "" {
				return word(doesNotApply)
			}
			if number, ok := numbers[e.Infant]; ok {
				return text(number, notCharted)
			}
			return word("not on the ward")
		}},
	}
	columns = append(columns, momentColumns(c, "Happened", func(e listed) cell { return c.moment(e.At.Time, notCharted) })...)
	columns = append(columns,
		column[listed]{"Kind", 14, func(e listed) cell { return text(e.Kind, notCharted) }},
		column[listed]{"What was charted", 60, func(e listed) cell { return text(contentOf(e.Entry, e.hideNames), notCharted) }},
		column[listed]{"By", 12, func(e listed) cell { return text(e.By, notCharted) }},
	)
	columns = append(columns, momentColumns(c, "Charted", func(e listed) cell { return c.moment(e.Charted.Time, notCharted) })...)
	columns = append(columns,
		column[listed]{"Standing", 14, func(e listed) cell { return word(e.standing.String()) }},
		column[listed]{"Amends, or amended by", 36, func(e listed) cell { return text(e.by, none) }},
		column[listed]{"Entry", 36, func(e listed) cell { return text(e.ID, notCharted) }},
	)
	return table(entriesName, "The record holds no entry.", slices.Values(entries), func(e listed) string { return "entry " + e.ID },
		columns...)
}

// numbersOf are the hospital numbers, or else the labels, of the infants of a handover.
func numbersOf(h *handover.Handover) map[string]string {
	out := map[string]string{}
	for _, s := range h.Infants {
		out[s.Infant] = numberOrLabel(s.MRN, s.Temporary)
	}
	for _, l := range h.Left {
		out[l.Infant] = numberOrLabel(l.MRN, l.Temporary)
	}
	return out
}
