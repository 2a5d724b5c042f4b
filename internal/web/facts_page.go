package web

import (
	"net/url"
	"slices"
	"strings"

	"cotline/handover"
	"cotline/internal/sheets"
)

// factsPage is every figure of an infant with the entry that it is from, and of each that
// cannot be computed what lacks.
type factsPage struct {
	Who   *asWho
	Title string
	Facts []factLine
	Lacks []lacking
}

type factLine struct{ Fact, Value, Unit, When, By, Path string }

type lacking struct{ Fact, Why string }

// factColumns are those of the sheet of facts that the page shows, by the start of their
// header.
var factColumns = []string{"Fact", "Value", "Unit or remark", "Happened", "By", "Entry"}

func showFacts(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	c.sheet = &sheet{title: "Every figure, and where it is from"}
	p := factsPage{Who: c.who(), Title: c.title()}
	h := c.snap.handover.Of(func(infant, _ string) bool { return infant == c.infant })
	h.Left, h.Late, h.Notes, h.Tasks = nil, nil, nil, nil // of the unit
	tables := sheets.Tables(h, nil, c.policy, c.journal.Engine)
	i := slices.IndexFunc(tables, func(t sheets.Shown) bool { return t.File == "facts.csv" })
	t := tables[i]
	var at []int
	for _, start := range factColumns {
		at = append(at, slices.IndexFunc(t.Heads, func(head string) bool { return strings.HasPrefix(head, start) }))
	}
	for row := range t.Rows {
		if !slices.Contains(row, c.infant) {
			continue
		}
		l := factLine{Fact: row[at[0]], Value: row[at[1]], Unit: row[at[2]], When: row[at[3]], By: row[at[4]]}
		if offset := row[at[3]+1]; strings.HasPrefix(offset, "UTC") { // of the column beside it: the night the clock goes back
			l.When += " " + offset
		}
		if id := row[at[5]]; c.holds(id) {
			l.Path = entriesAt(r.unit, c.infant, id)
		}
		p.Facts = append(p.Facts, l)
	}
	for _, x := range c.summary.NotComputed {
		p.Lacks = append(p.Lacks, lacking{handover.LabelOf(x.Path), x.Why})
	}
	return answer{page: "facts", title: c.title(), data: p}, nil
}

// holds says whether an id is that of an entry of the infant.
func (c *charting) holds(id string) bool { return c.moment(id) != nil }

// entriesAt is the page of an infant's entries on which an entry stands.
func entriesAt(unit, infant, id string) string {
	return infantPath(unit, infant) + "/entries?" + url.Values{"entry": {id}}.Encode() + "#e-" + id
}
