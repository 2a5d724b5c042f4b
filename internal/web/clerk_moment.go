package web

import (
	"net/url"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// asked is a moment, or a span up to one, that tables are of.
type span struct {
	at, since time.Time // since is zero: of the shift, or the last handover
	form      spanForm
}

// spanForm asks for it, as it was asked for.
type spanForm struct {
	At, Since         *forms.Control
	AtText, SinceText string // in full, to be sent on; empty: not given
}

// span reads what was asked for: nothing is now.
func (c *charting) span(asked url.Values) (x span, faults forms.Faults) {
	faults = forms.Faults{}
	x.at = c.now
	a := c.asked(c.now)
	read := func(name, label, help string, to *time.Time, text *string) *forms.Control {
		control := &forms.Control{Name: name, As: forms.AsMoment, Label: label, Help: help, Day: asked.Get(name + ".day"),
			Time: asked.Get(name + ".time"), Which: asked.Get(name + ".which")}
		said, ok := a.Moment(name, false, asked.Get, faults)
		if m, err := entry.ParseMoment(said); err == nil && ok {
			*to, *text = m.Time, m.Text
		}
		if f := faults[name]; f != nil {
			control.Fault, control.Asked = f.Text, f.Choose
		}
		return control
	}
	x.form.At = read("at", words.Say("Moment"), words.Say("left empty: now"), &x.at, &x.form.AtText)
	x.form.Since = read("since", words.Say("From"), words.Say("left empty: since the last handover, or the start of the shift"),
		&x.since, &x.form.SinceText)
	if !x.since.IsZero() && !x.since.Before(x.at) {
		faults.Add("since", words.Say("This is not before the moment."))
		x.form.Since.Fault = faults["since"].Text
	}
	return x, faults
}

// compiled is the unit as it stood at a moment: the handover, and all entries.
type spanned struct {
	handover *handover.Handover
	ward     handover.Ward
	entries  []*entry.Entry // of who is told of, and of the unit
}

// spanned compiles the unit for a span, of the whole record, as known now.
func (c *charting) spanned(x span) (*spanned, error) {
	r, err := c.journal.Read(c.r.Context())
	if err != nil {
		return nil, err
	}
	if r.Policies.Now == nil {
		return nil, r.Policies.Err
	}
	ward := r.Ward(r.Policies.Now)
	h := handover.Compile(ward, x.at, c.now, x.since)
	r.Tell(h)
	out := &spanned{handover: h, ward: ward}
	keep := map[string]bool{"": true}
	for _, f := range h.Infants {
		keep[f.Infant] = true
	}
	for _, l := range h.Left {
		keep[l.Infant] = true
	}
	for _, e := range ward.Entries {
		if keep[e.Infant] {
			out.entries = append(out.entries, e)
		}
	}
	return out, nil
}
