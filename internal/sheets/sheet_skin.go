package sheets

import (
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
)

// skinSheet is a row a skin check, its sites beside each other: how a site went from check to check is read down a column.
func skinSheet(h *handover.Handover, all *entry.Records) sheet {
	c := clock{h.Zone}
	columns := infantColumns(func(r charted) *handover.Summary { return r.Summary })
	columns = append(columns, momentColumns(c, "Happened", func(r charted) cell { return c.moment(r.entry.At.Time, notCharted) })...)
	for _, site := range entry.Sites {
		columns = append(columns, column[charted]{siteHead(site), 12, func(r charted) cell { return siteCell(r.entry, site) }})
	}
	columns = append(columns, sourceColumns(c, charted.source, func(r charted) cell {
		return c.moment(r.entry.Charted.Time, notCharted)
	})...)
	columns = append(columns, keyColumn(func(r charted) string { return r.Infant }))
	rows := standing(h, recordsOf(all), history{sheet: skinName, kinds: []string{"skin"}})
	return table(skinName, noHistory, rows, func(r charted) string { return "entry " + r.entry.ID }, columns...)
}

// siteHead is a site as a header: naris-left is Naris left.
func siteHead(site string) string {
	return strings.ToUpper(site[:1]) + strings.ReplaceAll(site[1:], "-", " ")
}

// siteCell is all that a check says of a site: the finding first.
func siteCell(e *entry.Standing, site string) cell {
	k, _ := entry.KindOf("skin")
	specs := k.Fields[0].Of
	for _, v := range e.List("sites") {
		if at, _ := fieldOf(v.Fields, "site"); at.Text != site {
			continue
		}
		var out []string
		for i := range specs {
			s := &specs[i]
			x, ok := fieldOf(v.Fields, s.Name)
			switch {
			case !ok || s.Name == "site":
			case s.Name == "finding" || s.Name == "also":
				out = append(out, fieldCell(x, s).words())
			default:
				out = append(out, s.Label+": "+fieldCell(x, s).words())
			}
		}
		return list(out, none)
	}
	return word(notSeen)
}
