package web

import (
	"html/template"

	"cotline/internal/access"
	"cotline/internal/page"
)

// infantPage is one infant: the short form, the pictures, every fact.
type infantPage struct {
	stood
	page.Told
	Back     string
	Charting string // path of charting, empty for who may not
	Timeline string // path of its entries
	Figures  string // path of its figures with the entries that they are from
	Pictures []picture
}

type picture struct {
	Name, Says string
	SVG        template.HTML
}

var pictureNames = map[string]string{"shift": "The shift", "head": "Head growth", "face": "Skin"}

func showInfant(s *Server, r *request) (answer, error) {
	snap, err := s.look(r)
	if err != nil {
		return answer{}, err
	}
	h, ward, f, here := snap.Infant(r.part("infant"))
	if !here {
		return answer{}, ErrGone
	}
	if err := s.note(r.Context(), r, access.Event{What: "infant", Infants: []string{f.Infant}}); err != nil {
		return answer{}, err
	}
	screen := page.NewScreen(h)
	p := infantPage{stood: s.stood(r.unit, snap, screen, h.At), Told: screen.Infant(f), Back: wardPath(r.unit),
		Timeline: infantPath(r.unit, f.Infant) + "/entries",
		Figures:  infantPath(r.unit, f.Infant) + "/facts"}
	if r.who.May(r.unit, access.Chart) {
		p.Charting = chartPath(r.unit, f.Infant)
	}
	for _, d := range page.Pictures(h, ward, f) {
		drawn := template.HTML(d.SVG) // #nosec G203 -- our own drawing, which escapes what was charted
		p.Pictures = append(p.Pictures, picture{d.Name, pictureNames[d.Name], drawn})
	}
	return answer{page: "infant", title: "Cot " + f.Cot, data: p, tag: snap.tag(r)}, nil
}
