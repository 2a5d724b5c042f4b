package web

import (
	"cmp"
	"slices"
	"time"

	"github.com/google/uuid"

	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// retractPage asks why an entry is withdrawn.
type retractPage struct {
	Who                   *asWho
	Title, Said, Token    string
	Back, Reason, Problem string
}

func showRetraction(s *Server, r *request) (answer, error) {
	c, standing, of, err := s.amending(r)
	if err != nil {
		return answer{}, err
	}
	if standing == nil && of.Kind != "correction" {
		return answer{}, errNotThere
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	c.posted.Set("token", uuid.NewString())
	return c.retractForm(of, 0, forms.Faults{})
}

func (c *charting) retractForm(of *entry.Entry, status int, faults forms.Faults) (answer, error) {
	c.sheet = &sheet{title: words.Say("Withdraw an entry")}
	p := retractPage{
		Who:    c.who(),
		Title:  c.title(),
		Token:  c.posted.Get("token"),
		Reason: c.posted.Get("reason"),
		Back:   wardPath(c.r.unit),
	}
	if c.infant != "" {
		p.Back = infantPath(c.r.unit, c.infant)
	}
	for _, name := range []string{"", "at", "reason"} {
		if f := faults[name]; f != nil {
			p.Problem = f.Text
		}
	}
	record, all, err := c.recordNow(nil)
	if err != nil {
		return answer{}, err
	}
	p.Said = c.words(record, all, of)
	return answer{status: status, page: "chart-retract", title: c.title(), data: p}, nil
}

// retract withdraws an entry: it counts for nothing any more and stays readable.
func retract(s *Server, r *request) (answer, error) {
	c, _, of, err := s.amending(r)
	if err != nil {
		return answer{}, err
	}
	token, err := uuid.Parse(c.posted.Get("token"))
	if err != nil || slices.Contains(signing, of.Kind) && of.Kind != "correction" {
		return answer{}, errNotThere
	}
	made := func(now time.Time, faults forms.Faults) []*draft {
		read := &forms.Read{Fields: ofAndReason(of.ID, c.posted.Get("reason"))}
		read.Came("reason", "reason")
		return []*draft{
			c.offer(0, idOf(token, "retraction of "+of.ID).String(), "retraction", entry.Stamp(now, c.policy.Zone), read, faults),
		}
	}
	var fault error
	a, err := c.take(made, func(status int, faults forms.Faults) (a answer) {
		a, fault = c.retractForm(of, status, faults)
		return a
	}, access.Corrected, chartedPath(r.unit, c.infant, cmp.Or(c.posted.Get("from"), token.String())))
	return a, cmp.Or(err, fault)
}
