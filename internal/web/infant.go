package web

import (
	"html/template"

	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/web/words"
)

// infantPage is one infant: what to look at first, the short form, of which each line opens
// to its figures and their entries, the pictures with what they show beside them, and every
// other fact.
type infantPage struct {
	stood
	page.Told
	Back     string
	Charting string // path of charting, empty for who may not
	Timeline string // path of its entries
	Figures  string // path of its figures with the entries that they are from
	Look     toldRow
	Rows     []toldRow
	Topics   []topic
	Rest     []page.Row
}

type picture struct {
	Name, Says string
	SVG        template.HTML
}

var pictureNames = map[string]string{"shift": words.Key("The shift"), "head": words.Key("Head growth"), "face": words.Key("Skin")}

func drawing(d page.Picture) *picture {
	drawn := template.HTML(d.SVG) // #nosec G203 -- our own drawing, which escapes what was charted
	return &picture{d.Name, words.Text(pictureNames[d.Name]), drawn}
}

func showInfant(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	h, ward, f, here := c.snap.Infant(c.infant)
	if !here {
		return answer{}, errGone
	}
	screen := page.NewScreen(h)
	told := screen.Infant(f)
	p := infantPage{stood: s.stood(r.unit, c.snap, screen, h.At), Told: told, Back: wardPath(r.unit),
		Timeline: infantPath(r.unit, f.Infant) + "/entries",
		Figures:  infantPath(r.unit, f.Infant) + "/facts"}
	if r.who.May(r.unit, access.Chart) {
		p.Charting = chartPath(r.unit, f.Infant)
	}
	p.Look, p.Rows = c.openRows(screen, told)
	p.Topics, p.Rest = topicsOf(page.Pictures(h, ward, f), told)
	return answer{page: "infant", title: words.Say("Cot %s", f.Cot), data: p, tag: c.snap.tag(r)}, nil
}
