package web

import (
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/handover/entry"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// draft is an entry that a form makes, and where its values came from.
type draft struct {
	*entry.Entry
	read *forms.Read
}

// entries are what the parts of a sheet make of what was posted, for a moment that holds
// where none is given.
func (c *charting) entries(token uuid.UUID, now time.Time, faults forms.Faults) (out []*draft) {
	at := c.at(now, faults)
	for _, p := range c.parts {
		a := c.asked(at.Time)
		read := p.read(c, a, faults)
		if len(read.Fields) == 0 {
			continue
		}
		out = append(out, c.offer(len(out), idOf(token, p.name).String(), p.kind.Name, at.Text, read, faults))
	}
	return out
}

// at is when it happened: now, unless a time was given.
func (c *charting) at(now time.Time, faults forms.Faults) entry.Moment {
	text, ok := c.asked(now).Moment("at", false, c.posted.Get, faults)
	if text == "" || !ok {
		return entry.Moment{Time: now, Text: entry.Stamp(now, c.policy.Zone)}
	}
	m, err := entry.ParseMoment(text)
	if err != nil {
		faults.Add("at", words.Say("A time of the clock is wanted, as 07:30 or 0730."))
	}
	return m
}

// offer makes an entry by the record's own rules. Its line is its number in the form.
func (c *charting) offer(n int, id, kind, at string, read *forms.Read, faults forms.Faults) *draft {
	v := entry.Value{Type: entry.ObjectValue, Line: n + 1, Fields: []entry.Field{entry.TextField("id", id)}}
	if c.infant != "" {
		v.Fields = append(v.Fields, entry.TextField("infant", c.infant))
	}
	v.Fields = append(v.Fields, entry.TextField("kind", kind), entry.TextField("at", at), entry.TextField("by", c.r.who.Name))
	v.Fields = append(v.Fields, read.Fields...)
	e, issues := entry.Decode(v)
	o := &draft{&e, read}
	for _, i := range issues {
		o.tell(i, faults)
	}
	return o
}

// idOf is the id of what a form makes: the same however often the form is sent.
func idOf(token uuid.UUID, name string) uuid.UUID { return uuid.NewSHA1(token, []byte(name)) }

// tell puts what is wrong with an entry beside the input that it came from.
func (o *draft) tell(i entry.Issue, faults forms.Faults) {
	path := strings.TrimPrefix(i.Path, "entry.")
	name, ok := o.read.Input(path)
	switch {
	case ok:
		faults.Add(name, faultSaid(i))
	case path == "at", path == "charted":
		faults.Add("at", faultSaid(i))
	case i.Path == "by":
		faults.Add("", words.Say(
			"The name that you sign in by cannot stand in the record: letters, digits and . _ - only. Ask the keeper."))
	case i.Code == entry.CodeIDConflict:
		faults.Add("", words.Say(
			"This was charted already, with other values. What was taken stands: to change it, open the infant and correct it."))
	default:
		faults.Add("", faultSaid(i))
	}
}

func tellAll(all []*draft, issues []entry.Issue, faults forms.Faults) {
	for _, i := range issues {
		if at := slices.IndexFunc(all, func(o *draft) bool { return o.Line == i.Line }); at >= 0 {
			all[at].tell(i, faults)
		}
	}
}

func faultSaid(i entry.Issue) string {
	switch {
	case i.Code == entry.CodeMissing && i.Allowed == "required":
		return words.Say("This is needed.")
	case i.Code == entry.CodeMissing:
		return words.Say("This is needed: %s.", i.Allowed)
	case i.Found != "":
		return words.Say("Found %s. Allowed: %s.", i.Found, i.Allowed)
	}
	return words.Say("Allowed: %s.", i.Allowed)
}

// heldOf is the first of some entries that is held already, nil when none is.
func heldOf(held entry.Holding, all []*draft) *entry.Entry {
	for _, o := range all {
		if was := held.Entry(o.ID); was != nil {
			return was
		}
	}
	return nil
}

func entriesOf(all []*draft) []*entry.Entry {
	out := make([]*entry.Entry, len(all))
	for i, o := range all {
		out[i] = o.Entry
	}
	return out
}
