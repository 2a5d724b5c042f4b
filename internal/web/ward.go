package web

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"html/template"
	"slices"
	"strings"
	"time"

	"cotline/handover"
	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/web/words"
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
	Handover  string // path, of who has none on top: she may look, and not hand over
	Waiting   []notAccepted
	Charting  string // path of charting for the unit, empty for who may not
}

// wardGroup are some of the infants. Above them is said how many need somebody now, so that
// none is looked past.
type wardGroup struct {
	Name  string
	Now   int
	Lines []template.HTML
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
	p := wardPage{Waiting: h.waiting(), stood: s.stood(r.unit, snap, screen, snap.oldest), Rest: screen.Rest()}
	if !r.who.May(r.unit, access.HandOver) {
		p.Handover = handoversPath(r.unit)
	}
	p.ByUrgency = r.URL.Query().Get("order") == "urgency"
	if r.who.May(r.unit, access.Chart) {
		p.Charting = chartPath(r.unit, "")
	}
	lines, err := s.wardLines(r.unit, snap, screen)
	if err != nil {
		return answer{}, err
	}
	if p.ByUrgency {
		slices.SortStableFunc(lines, func(a, b *wardLine) int { return page.Urgent(a.Line, b.Line) })
	}
	p.Groups = groups(lines, h.own())
	return answer{page: "ward", title: words.Say("Ward"), data: p, tag: snap.tag(r)}, nil
}

// wardLines are everybody's lines by cot. Each is drawn once for a moment: an entry has the
// line of its infant drawn anew, not the ward's.
func (s *Server) wardLines(unit string, snap *Snapshot, screen *page.Screen) ([]*wardLine, error) {
	out := make([]*wardLine, len(snap.handover.Infants))
	for i, f := range snap.handover.Infants {
		var err error
		if out[i], err = snap.lines.line(f, func() (*wardLine, error) { return s.drawLine(unit, f, screen) }); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (s *Server) drawLine(unit string, f *handover.Summary, screen *page.Screen) (*wardLine, error) {
	l := &wardLine{Line: screen.Line(f), Path: infantPath(unit, f.Infant)}
	var text strings.Builder
	if err := s.pages["ward"].ExecuteTemplate(&text, "line", l); err != nil {
		return nil, err
	}
	l.drawn = template.HTML(text.String()) // #nosec G203 -- by our own template, which escaped what was charted
	return l, nil
}

func groups(lines []*wardLine, hers []string) []wardGroup {
	own, others := wardGroup{Name: words.Say("Yours")}, wardGroup{Name: words.Say("Others")}
	for _, l := range lines {
		to := &others
		if slices.Contains(hers, l.Infant) {
			to = &own
		}
		to.Lines = append(to.Lines, l.drawn)
		if len(l.Now) > 0 {
			to.Now++
		}
	}
	switch {
	case len(own.Lines) == 0:
		others.Name = words.Say("Infants")
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
