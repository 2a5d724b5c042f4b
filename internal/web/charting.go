package web

import (
	"net/url"
	"time"

	"cotline/handover"
	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/web/forms"
)

// charting is a request to chart: for whom, by which policy, and what was posted.
type charting struct {
	*Server
	r       *request
	journal *journal.Journal
	snap    *Snapshot
	policy  *handover.Policy
	infant  string            // key, empty for the unit's own
	summary *handover.Summary // nil without infant
	now     time.Time
	sent    time.Time // of a form that waited on a device; zero: now
	posted  url.Values
	sheet   *sheet
	parts   []*sheetPart
	ids     map[string]bool // of the infant's entries, once asked for
}

// charting reads for whom something is charted. Who is not here is not there.
func (s *Server) charting(r *request) (*charting, error) {
	snap, err := s.look(r)
	if err != nil {
		return nil, err
	}
	c := &charting{Server: s, r: r, journal: s.Units[r.unit], snap: snap, policy: snap.policy, infant: r.part("infant"), now: s.Now()}
	c.posted = r.PostForm
	if c.posted == nil {
		c.posted = url.Values{}
	}
	if c.infant == "" {
		return c, nil
	}
	var here bool
	if _, _, c.summary, here = snap.Infant(c.infant); !here {
		return nil, errGone
	}
	return c, nil
}

// asked is what forms are made for, charted at a moment unless they say otherwise.
func (c *charting) asked(now time.Time) *forms.Asked {
	a := &forms.Asked{Policy: c.policy, Now: now, Choices: map[string][]forms.Option{"task": {}}, Round: len(c.parts) > 1}
	tasks := c.snap.handover.Tasks
	if c.summary != nil {
		tasks = c.summary.Tasks
	}
	for _, t := range tasks {
		a.Choices["task"] = append(a.Choices["task"], forms.Option{Value: t.ID, Label: t.Text})
	}
	return a
}

// noteRead traces that an infant is shown beside a form.
func (c *charting) noteRead() error {
	e := access.Event{What: "ward", Whole: true}
	if c.infant != "" {
		e = access.Event{What: "infant", Infants: []string{c.infant}}
	}
	return c.note(c.r.Context(), c.r, e)
}

// when is when a form was sent.
func (c *charting) when() time.Time {
	if c.sent.IsZero() {
		return c.now
	}
	return c.sent
}
