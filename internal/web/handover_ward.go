package web

import (
	"html/template"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/web/words"
)

// notAccepted is a handover that waits for somebody, as pages list it.
type notAccepted struct {
	Path     string // of the handover
	Next     string // of its first infant that is not accepted; empty where who asks may not take over
	By, To   string
	When     string
	Mine     bool // it is to whoever asks
	Cover    bool
	Cots     []wardCot
	Accepted int
}

type wardCot struct{ Cot, Name []page.Span }

// Named are the cots that wait, with who lies there.
func (x notAccepted) Named() template.HTML {
	return x.listed("; ", func(c wardCot) template.HTML { return phrase(words.Key("cot %s, %s"), spans(c.Cot), spans(c.Name)) })
}

// OnlyCots are the same in short.
func (x notAccepted) OnlyCots() template.HTML {
	return x.listed(", ", func(c wardCot) template.HTML { return phrase(words.Key("cot %s"), spans(c.Cot)) })
}

func (x notAccepted) listed(between string, said func(wardCot) template.HTML) (out template.HTML) {
	for i, c := range x.Cots {
		if i > 0 {
			out += template.HTML(between) // #nosec G203 -- a constant
		}
		out += said(c)
	}
	return out
}

// handingOver is a request that is about handing over.
type handingOver struct {
	*charting
	all       handings
	withdrawn []*entry.Entry
	screen    *page.Screen
}

func (s *Server) handingOver(r *request) (*handingOver, error) {
	c, err := s.charting(r)
	if err != nil {
		return nil, err
	}
	all, withdrawn, err := s.units[r.unit].handings(r.Context())
	if err != nil {
		return nil, err
	}
	return &handingOver{c, all, withdrawn, page.NewScreen(c.snap.handover)}, nil
}

// handingOverOf is handing over with the signed handover of the path.
func (s *Server) handingOverOf(r *request) (*handingOver, *handing, error) {
	h, err := s.handingOver(r)
	if err != nil {
		return nil, nil, err
	}
	x := h.all.find(r.part("entry"))
	if x == nil {
		return nil, nil, errNotThere
	}
	return h, x, nil
}

// clock is a moment as pages say it: the time, with its day where that is another.
func (h *handingOver) clock(t time.Time) string { return clockIn(t, h.now, h.policy.Zone) }

// waiting are the handovers that wait.
func (h *handingOver) waiting() (out []notAccepted) {
	may := h.r.who.May(h.r.unit, access.HandOver)
	for _, o := range h.all.open(h.snap, h.r.who.Name, h.now) {
		x := notAccepted{Path: handedPath(h.r.unit, o.ID), By: o.By, To: o.to(), When: h.clock(o.At.Time), Mine: o.to() == h.r.who.Name,
			Cover: o.cover(), Accepted: len(o.accepted)}
		if may && o.By != h.r.who.Name {
			x.Next = takeOverPath(h.r.unit, o.ID, o.here[0].Infant)
		}
		for _, f := range o.here {
			x.Cots = append(x.Cots, h.cot(f))
		}
		out = append(out, x)
	}
	return out
}

func (h *handingOver) cot(f *handover.Summary) wardCot {
	l := h.screen.Line(f)
	return wardCot{l.Cot, l.Name}
}
