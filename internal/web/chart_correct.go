package web

import (
	"slices"
	"time"

	"github.com/google/uuid"

	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// correctionOf asks for the whole entry as it should have been, from what stands of it.
func correctionOf(c *charting, of *entry.Entry) {
	c.parts = []*sheetPart{partOf(of.Kind)}
	c.sheet = &sheet{
		title: words.Say("Correct %s", lower(c.parts[0].title)),
		says:  words.Say("The entry as it should have been. What was charted stays readable."),
	}
}

// showCorrection shows what stands of an entry, to be mended.
func showCorrection(s *Server, r *request) (answer, error) {
	c, standing, of, err := s.amending(r)
	if err != nil {
		return answer{}, err
	}
	if standing == nil || slices.Contains(signing, of.Kind) { // withdrawn, or mended elsewhere
		return answer{}, errNotThere
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	correctionOf(c, of)
	p := c.parts[0]
	c.posted = forms.Flatten(p.name, p.kind.Fields, standing.Fields, c.policy.Zone)
	c.posted.Set("token", uuid.NewString())
	forms.FlattenMoment(c.posted, "at", standing.At.Text, c.policy.Zone)
	return c.amendForm(0, forms.Faults{}), nil
}

// amendForm is the form of a correction.
func (c *charting) amendForm(status int, faults forms.Faults) answer {
	a := c.form(status, faults)
	p := a.data.(*chartPage)
	p.Send, p.At.Help, p.At.Required = words.Say("Correct it"), "", true
	p.Reason = &forms.Control{
		Name:     "reason",
		As:       forms.AsLine,
		Label:    words.Say("Why it is corrected"),
		Required: true,
		Value:    c.posted.Get("reason"),
	}
	if f := faults["reason"]; f != nil {
		p.Reason.Fault = f.Text
	}
	return a
}

// correct takes a correction.
func correct(s *Server, r *request) (answer, error) {
	c, _, of, err := s.amending(r)
	if err != nil {
		return answer{}, err
	}
	token, err := uuid.Parse(c.posted.Get("token"))
	if err != nil || slices.Contains(signing, of.Kind) {
		return answer{}, errNotThere
	}
	correctionOf(c, of)
	if c.posted.Has("back") || c.posted.Has("more") {
		return c.amendForm(0, forms.Faults{}), nil
	}
	p := c.parts[0]
	made := func(now time.Time, faults forms.Faults) []*draft {
		at, ok := c.asked(now).Moment("at", false, c.posted.Get, faults)
		if at == "" && ok {
			faults.Add("at", words.Say("This is needed."))
		}
		read := p.read(c, c.asked(now), faults)
		inner := append([]entry.Field{entry.TextField("kind", of.Kind), entry.TextField("at", at)}, read.Fields...)
		read.Fields = append(ofAndReason(of.ID, c.posted.Get("reason")),
			entry.Field{Name: "entry", Value: entry.Value{Type: entry.ObjectValue, Fields: inner}})
		read.Came("reason", "reason")
		return []*draft{c.offer(0, idOf(token, "correction").String(), "correction", entry.Stamp(now, c.policy.Zone), read, faults)}
	}
	return c.take(made, c.amendForm, access.Corrected, chartedPath(r.unit, c.infant, token.String()))
}
