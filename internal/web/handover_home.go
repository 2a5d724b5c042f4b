package web

import (
	"slices"

	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/web/words"
)

// handoverPage is where handing over starts: what waits, the review, what was signed of
// late, and paper.
type handoverPage struct {
	stood
	Back     string
	Waiting  []notAccepted
	Review   string // path; empty where who asks may not sign
	Signed   []signedLine
	Rest     []page.Row // what belongs to the whole unit, what arrived late too
	Print    *printForm // nil where who asks may not print
	Tables   string     // path of what is exported; empty where who asks may not
	Sheets   string     // path of the sheets to fill in; likewise
	ToReview int        // infants who are hers
}

// signedLine is a handover of the last day.
type signedLine struct {
	Path, By, To, When, State string
	Cover                     bool
	HandBack                  string // path of the review that hands back after a break
}

// showHandovers shows where handing over stands.
func showHandovers(s *Server, r *request) (answer, error) {
	h, err := s.handingOver(r)
	if err != nil {
		return answer{}, err
	}
	if err := h.noteRead(); err != nil {
		return answer{}, err
	}
	p := handoverPage{stood: s.stood(r.unit, h.snap, h.screen, h.snap.oldest), Back: wardPath(r.unit), Waiting: h.waiting(),
		Signed: h.ofLate(), Rest: h.screen.Rest()}
	if r.who.May(r.unit, access.HandOver) {
		p.Review, p.ToReview = handoversPath(r.unit)+"/review", len(h.tookOver())
	}
	if r.who.May(r.unit, access.Print) {
		p.Print = h.printForm()
	}
	if r.who.May(r.unit, access.Export) {
		p.Tables = tablesPath(r.unit)
	}
	if r.who.May(r.unit, access.ChartSheets) {
		p.Sheets = sheetPath(r.unit)
	}
	return answer{page: "handover", title: words.Say("Handover"), data: p, tag: h.snap.tag(r)}, nil
}

// shownFor is how far back what was signed is listed.
const shownFor = 24

// ofLate are the handovers of the last day, the latest first.
func (h *handingOver) ofLate() (out []signedLine) {
	for _, x := range slices.Backward(h.all.list) {
		if h.now.Sub(x.At.Time).Hours() > shownFor {
			break // by moment
		}
		l := signedLine{Path: handedPath(h.r.unit, x.ID), By: x.By, To: x.to(), When: h.clock(x.At.Time), Cover: x.cover()}
		open := 0
		for _, key := range x.infants() {
			if x.accepted[key] == nil {
				open++
			}
		}
		switch n := len(x.infants()); {
		case open == 0:
			l.State = words.Say("accepted")
		case open == n:
			l.State = words.Say("NOT ACCEPTED")
		default:
			l.State = words.Say("accepted for %d of %d", n-open, n)
		}
		if h.backFrom(x) {
			l.HandBack = handoversPath(h.r.unit) + "/review?back=" + x.ID
		}
		out = append(out, l)
	}
	return out
}

// backFrom says whether an infant of a handover for a break is still with whoever asks,
// who covered.
func (h *handingOver) backFrom(x *handing) bool {
	return x.cover() && x.By != h.r.who.Name && h.r.who.May(h.r.unit, access.HandOver) && len(h.covered(x)) > 0
}

// covered are the infants of a handover for a break that whoever asks has by it.
func (h *handingOver) covered(x *handing) (out []string) {
	for _, key := range x.infants() {
		_, here := h.snap.infants[key]
		if a := x.accepted[key]; here && a != nil && a.By == h.r.who.Name && h.all.with(key) == h.r.who.Name {
			out = append(out, key)
		}
	}
	return out
}
