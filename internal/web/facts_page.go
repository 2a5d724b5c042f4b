package web

import (
	"net/url"

	"cotline/handover/entry"
	"cotline/internal/page"
	"cotline/internal/web/words"
)

// factsPage is every figure of an infant with the entry that it is from, and of each that
// cannot be computed what lacks.
type factsPage struct {
	Who   *asWho
	Title string
	Facts []figureLine
	Lacks []lacking
}

type lacking struct{ Fact, Why string }

func showFacts(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	c.sheet = &sheet{title: words.Say("Every figure, and where it is from")}
	p := factsPage{Who: c.who(), Title: c.title()}
	p.Facts, p.Lacks = c.figuresOf(page.NewScreen(c.snap.handover))
	return answer{page: "facts", title: c.title(), data: p}, nil
}

// holds says whether an id is that of an entry of the infant that stands on its timeline.
func (c *charting) holds(id string) bool {
	if c.ids == nil {
		c.ids = map[string]bool{}
		x := c.snap.infants[c.infant].entries
		for _, all := range [][]*entry.Entry{x.who, x.care} {
			for _, e := range all {
				c.ids[e.ID] = !e.Amends()
			}
		}
	}
	return c.ids[id]
}

// entriesAt is the page of an infant's entries on which an entry stands.
func entriesAt(unit, infant, id string) string {
	return infantPath(unit, infant) + "/entries?" + url.Values{"entry": {id}}.Encode() + "#e-" + id
}
