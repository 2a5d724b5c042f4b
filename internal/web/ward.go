package web

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"

	"cotline/internal/access"
	"cotline/internal/page"
)

// stood is what every page of a unit says of when it is.
type stood struct {
	Key     string // of the unit
	Unit    []page.Span
	At      string // moment in full
	Stamp   string // the same for programs
	Warning string
}

func (s *Server) stood(unit string, snap *Snapshot, screen *page.Screen, at time.Time) stood {
	return stood{Key: unit, Unit: screen.Unit(), At: page.Plain(screen.Moment()), Stamp: at.Format(time.RFC3339),
		Warning: snap.Ward().Warning()}
}

// wardPage is the ward, a line an infant.
type wardPage struct {
	stood
	ByUrgency bool
	Groups    []wardGroup // whoever asks has own infants: hers, then the others
	Rest      []page.Row
	Handover  string // path
	Waiting   []notAccepted
	Charting  string // path of charting for the unit, empty for who may not
}

// wardGroup are some of the infants; of those who are not hers is said above them how many
// need somebody now, so that none is looked past.
type wardGroup struct {
	Name  string // empty where there is but one
	Now   int
	Lines []wardLine
}

type wardLine struct {
	page.Line
	Path string
}

func showWard(s *Server, r *request) (answer, error) {
	h, err := s.handingOver(r)
	if err != nil {
		return answer{}, err
	}
	snap, screen := h.snap, h.screen
	if err := s.note(r.Context(), r, access.Event{What: "ward", Whole: true}); err != nil {
		return answer{}, err
	}
	p := wardPage{Handover: handoversPath(r.unit), Waiting: h.waiting(), stood: s.stood(r.unit, snap, screen, snap.oldest),
		Rest: screen.Rest()}
	p.ByUrgency = r.URL.Query().Get("order") == "urgency"
	if r.who.May(r.unit, access.Chart) {
		p.Charting = chartPath(r.unit, "")
	}
	lines := screen.Ward()
	if p.ByUrgency {
		page.Urgent(lines)
	}
	p.Groups = groups(r.unit, lines, h.hers())
	return answer{page: "ward", title: "Ward", data: p, tag: snap.tag(r)}, nil
}

func groups(unit string, lines []page.Line, hers map[string]bool) []wardGroup {
	own, others := wardGroup{Name: "Yours"}, wardGroup{Name: "Others"}
	for _, l := range lines {
		to := &others
		if hers[l.Infant] {
			to = &own
		}
		to.Lines = append(to.Lines, wardLine{l, infantPath(unit, l.Infant)})
		if len(l.Now) > 0 {
			to.Now++
		}
	}
	switch {
	case len(own.Lines) == 0:
		others.Name = ""
		return []wardGroup{others}
	case len(others.Lines) == 0:
		return []wardGroup{own}
	}
	return []wardGroup{own, others}
}

// tag changes whenever a page of the unit would.
func (snap *Snapshot) tag(r *request) string {
	what := fmt.Appendf(nil, "%s %s %s %s %v", r.URL.RequestURI(), snap.Head.Chain, snap.At, snap.oldest, snap.handover.Findings)
	h := sha256.Sum256(what)
	return `"` + hex.EncodeToString(h[:12]) + `"`
}
