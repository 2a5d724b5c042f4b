package web

import (
	"net/url"
	"slices"
	"strings"

	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/sheets"
	"cotline/internal/web/words"
)

// tablesPage shows one table of the workbook, and what can be downloaded.
type tablesPage struct {
	Unit, At, Warning string
	Path, Export      string
	Form              spanForm
	Problem           string
	Tables            []tableLink
	Table             *tableShown
	Presets           []string
	Send              string // path of the sheet to chart into; empty where who asks may not
	Ward              string // path of the ward; empty where who asks may not
}

type tableLink struct {
	Name, Path, File string
	Current          bool
}

type tableShown struct {
	Name, None string
	Heads      []string
	Rows       [][]string
	More       int // rows that are not shown
}

// mostRows is how many rows of a table a page shows: it is this project's own choice. A
// download has all.
const mostRows = 500

func showTables(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	asked := r.URL.Query()
	x, faults := c.span(asked)
	p := tablesPage{Path: tablesPath(r.unit), Export: tablesPath(r.unit) + "/export", Form: x.form, Unit: c.policy.Unit}
	for _, preset := range sheets.Presets {
		p.Presets = append(p.Presets, preset.Name)
	}
	if r.who.May(r.unit, access.ChartSheets) {
		p.Send = sheetPath(r.unit)
	}
	if r.who.May(r.unit, access.ReadInfants) {
		p.Ward = wardPath(r.unit)
	}
	if len(faults) > 0 {
		p.Problem = words.Say("Mend the moments; nothing is shown of them.")
		return answer{status: 422, page: "clerk-tables", title: words.Say("Tables"), data: p}, nil
	}
	if err := s.note(r.Context(), r, access.Event{What: "tables", Whole: true}); err != nil {
		return answer{}, err
	}
	of, err := c.spanned(x)
	if err != nil {
		return answer{}, err
	}
	p.At, p.Warning = page.Plain(page.NewScreen(of.handover).Moment()), of.handover.Warning()
	tables := sheets.Tables(of.handover, of.entries, of.ward.Policy, c.journal.Engine)
	i := max(0, slices.IndexFunc(tables, func(t sheets.Shown) bool { return t.File == asked.Get("table") }))
	for n, t := range tables {
		at := url.Values{"table": {t.File}}
		for name, values := range asked {
			if strings.HasPrefix(name, "at.") || strings.HasPrefix(name, "since.") {
				at[name] = values
			}
		}
		p.Tables = append(p.Tables, tableLink{t.Name, p.Path + "?" + at.Encode(), t.File, n == i})
	}
	p.Table = &tableShown{Name: tables[i].Name, None: tables[i].None, Heads: tables[i].Heads}
	for row := range tables[i].Rows {
		if len(p.Table.Rows) < mostRows {
			p.Table.Rows = append(p.Table.Rows, row)
		} else {
			p.Table.More++
		}
	}
	return answer{page: "clerk-tables", title: words.Say("Tables"), data: p}, nil
}
