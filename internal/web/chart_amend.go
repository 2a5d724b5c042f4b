package web

import (
	"cmp"
	"slices"
	"time"

	"github.com/google/uuid"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// recordNow is the infant's record, or the unit's own, as it stands, with the entries
// that it stands on.
func (c *charting) recordNow(find func(entry.Holding)) (*entry.Record, []*entry.Entry, error) {
	var all []*entry.Entry
	err := c.journal.Holding(c.r.Context(), func(held entry.Holding) {
		all = held.Infant(c.infant)
		if find != nil {
			find(held)
		}
	})
	if err == nil && c.infant == "" {
		all, err = c.units[c.r.unit].ofUnit(c.r.Context())
	}
	if err != nil {
		return nil, nil, err
	}
	known := c.now
	for _, e := range all {
		if e.Charted.After(known) {
			known = e.Charted.Time
		}
	}
	records := entry.Replay(all, known)
	if c.infant == "" {
		return records.Unit, all, nil
	}
	return records.Of(c.infant), all, nil
}

// amending is a request to correct or withdraw an entry of the path.
func (s *Server) amending(r *request) (c *charting, standing *entry.Standing, of *entry.Entry, err error) {
	if c, err = s.charting(r); err != nil {
		return nil, nil, nil, err
	}
	record, _, err := c.recordNow(func(held entry.Holding) { of = held.Entry(r.part("entry")) })
	switch {
	case err != nil:
		return nil, nil, nil, err
	case of == nil || of.Infant != c.infant || of.Kind == "retraction":
		return nil, nil, nil, errNotThere
	}
	i := slices.IndexFunc(record.Entries, func(e *entry.Standing) bool { return e.ID == of.ID })
	if i >= 0 {
		standing = record.Entries[i]
	}
	return c, standing, of, nil
}

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
		inner := append([]entry.Field{{Name: "kind", Value: textValue(of.Kind)}, {Name: "at", Value: textValue(at)}}, read.Fields...)
		read.Fields = append(ofAndReason(of.ID, c.posted.Get("reason")),
			entry.Field{Name: "entry", Value: entry.Value{Type: entry.ObjectValue, Fields: inner}})
		read.Came("reason", "reason")
		return []*draft{c.offer(0, idOf(token, "correction").String(), "correction", entry.Stamp(now, c.policy.Zone), read, faults)}
	}
	return c.take(made, c.amendForm, access.Corrected, chartedPath(r.unit, c.infant, token.String()))
}

func ofAndReason(id, reason string) []entry.Field {
	out := []entry.Field{{Name: "of", Value: textValue(id)}}
	if reason != "" {
		out = append(out, entry.Field{Name: "reason", Value: textValue(reason)})
	}
	return out
}

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

// words are an entry in the words of the handover, as it stands.
func (c *charting) words(record *entry.Record, all []*entry.Entry, e *entry.Entry) string {
	id := e.ID
	if e.Amends() {
		id = e.Reference("of")
	}
	standing := &entry.Standing{Entry: e}
	if i := slices.IndexFunc(all, func(x *entry.Entry) bool { return x.ID == id }); i >= 0 {
		standing = &entry.Standing{Entry: all[i]}
	}
	if i := slices.IndexFunc(record.Entries, func(x *entry.Standing) bool { return x.ID == id }); i >= 0 {
		standing = record.Entries[i]
	}
	said := ""
	if tell := handover.Tell(c.policy, record, c.now); tell != nil {
		said = tell.Said(standing)
	} else {
		k, _ := entry.KindOf(standing.Kind)
		said = k.Label + " " + standing.Text("text")
	}
	at := standing.At.In(c.policy.Zone)
	clock, day := at.Format("15:04"), at.Format("Mon 2 Jan")
	switch e.Kind {
	case "correction":
		return words.Say("Corrected: %s, at %s on %s", said, clock, day)
	case "retraction":
		return words.Say("Withdrawn: %s, at %s on %s", said, clock, day)
	}
	return words.Say("%s, at %s on %s", said, clock, day)
}

// chartedPage shows what a form made, with its undoing in words.
type chartedPage struct {
	Who            *asWho
	Title, Back    string
	Charting, From string
	Taken          []takenView
}

type takenView struct {
	Said, By, Token string
	What            string // in a word or two
	Undone          bool
	Undo, Correct   string // paths, empty where it cannot be
}

// showCharted shows what was just charted.
func showCharted(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	token, err := uuid.Parse(r.part("token"))
	if err != nil {
		return answer{}, errNotThere
	}
	var made []*entry.Entry
	record, all, err := c.recordNow(func(held entry.Holding) {
		for i := range entry.Kinds {
			if e := held.Entry(idOf(token, entry.Kinds[i].Name).String()); e != nil && e.Infant == c.infant {
				made = append(made, e)
			}
		}
	})
	if err != nil {
		return answer{}, err
	}
	if len(made) == 0 {
		return answer{}, errNotThere
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	c.sheet = &sheet{title: words.Say("Charted")}
	p := chartedPage{
		Who:      c.who(),
		Title:    c.title(),
		Back:     wardPath(r.unit),
		Charting: chartPath(r.unit, c.infant),
		From:     token.String(),
	}
	if c.infant != "" {
		p.Back = infantPath(r.unit, c.infant)
	}
	amended := entry.Amendments(all)
	for _, e := range made {
		k, _ := entry.KindOf(e.Kind)
		t := takenView{Said: c.words(record, all, e), By: e.By, Token: uuid.NewString(), What: lower(k.Label)}
		of := e.ID
		if e.Amends() {
			of = e.Reference("of")
		}
		t.Undone = slices.ContainsFunc(
			amended[of],
			func(x *entry.Entry) bool { return x.Kind == "retraction" && x.Reference("of") == e.ID },
		)
		if !t.Undone && e.Kind != "retraction" {
			t.Undo = entryPath(r.unit, c.infant, e.ID, "retract")
			if e.Kind != "correction" {
				t.Correct = entryPath(r.unit, c.infant, e.ID, "correct")
			}
		}
		p.Taken = append(p.Taken, t)
	}
	return answer{page: "chart-charted", title: c.title(), data: p}, nil
}
