package web

import (
	"context"
	"errors"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
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
		return nil, ErrGone
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

// showSheet shows a page to chart with: of an infant who has a look-alike, once it was
// asked which one this is.
func showSheet(s *Server, r *request) (answer, error) {
	c, err := s.chartingOn(r)
	if err != nil {
		return answer{}, err
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	if c.mustAsk() {
		return c.askWho("")
	}
	c.posted = url.Values{"token": {uuid.NewString()}}
	return c.form(0, forms.Faults{}), nil
}

// chartingOn is charting on the sheet of the path.
func (s *Server) chartingOn(r *request) (*charting, error) {
	c, err := s.charting(r)
	if err != nil {
		return nil, err
	}
	if c.sheet = sheetOf(r.part("sheet"), c.infant); c.sheet == nil {
		return nil, errNotThere
	}
	c.parts = c.sheet.parts(c)
	return c, nil
}

// noteRead traces that an infant is shown beside a form.
func (c *charting) noteRead() error {
	e := access.Event{What: "ward", Whole: true}
	if c.infant != "" {
		e = access.Event{What: "infant", Infants: []string{c.infant}}
	}
	return c.note(c.r.Context(), c.r, e)
}

// chart takes what was posted on a sheet.
func chart(s *Server, r *request) (answer, error) {
	c, err := s.chartingOn(r)
	if err != nil {
		return answer{}, err
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	if by := c.posted.Get("sent.by"); by != "" && by != r.who.Name {
		return answer{}, errNotHers
	}
	var waited forms.Faults
	c.sent, waited = arrived(c.posted, c.now, c.policy, func(part string) bool {
		return slices.ContainsFunc(c.parts, func(p *sheetPart) bool { return p.name == part })
	})
	token, err := uuid.Parse(c.posted.Get("token"))
	switch {
	case !c.proven():
		return c.askWho(wrongDigits)
	case err != nil: // the digits alone
		c.posted = url.Values{"token": {uuid.NewString()}, "digits": c.posted["digits"]}
		return c.form(0, forms.Faults{}), nil
	case c.posted.Has("back"), c.posted.Has("more"):
		return c.form(0, forms.Faults{}), nil
	case len(waited) > 0:
		return c.form(422, waited), nil
	}
	if c.infant == "" && c.sheet.newInfant {
		var fit bool
		if c.infant, fit = c.newKey(token); !fit {
			return c.form(422, forms.Faults{"key": {Text: words.Say("letters, digits and . _ - only")}}), nil
		}
	}
	a, err := c.take(func(now time.Time, faults forms.Faults) []*draft { return c.entries(token, now, faults) },
		func(status int, faults forms.Faults) answer { return c.form(status, faults) },
		access.Charted, chartedPath(c.r.unit, c.infant, token.String()))
	return delivered(r, a, err)
}

// newKey is the key of an infant who is admitted: the one given, of an infant who was here
// before, if it is fit for one, or one of its own.
func (c *charting) newKey(token uuid.UUID) (key string, fit bool) {
	switch key = strings.TrimSpace(c.posted.Get("key")); {
	case key == "":
		return "i-" + idOf(token, "infant").String()[24:], true
	case !entry.IsKey(key):
		return "", false
	}
	return key, true
}

// idOf is the id of what a form makes: the same however often the form is sent.
func idOf(token uuid.UUID, name string) uuid.UUID { return uuid.NewSHA1(token, []byte(name)) }

// when is when a form was sent.
func (c *charting) when() time.Time {
	if c.sent.IsZero() {
		return c.now
	}
	return c.sent
}

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
	text := func(name, value string) entry.Field {
		return entry.Field{Name: name, Value: entry.Value{Type: entry.TextValue, Text: value}}
	}
	v := entry.Value{Type: entry.ObjectValue, Line: n + 1, Fields: []entry.Field{text("id", id)}}
	if c.infant != "" {
		v.Fields = append(v.Fields, text("infant", c.infant))
	}
	v.Fields = append(v.Fields, text("kind", kind), text("at", at), text("by", c.r.who.Name))
	v.Fields = append(v.Fields, read.Fields...)
	e, issues := entry.Decode(v)
	o := &draft{&e, read}
	for _, i := range issues {
		o.tell(i, faults)
	}
	return o
}

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

// errPolicy says that another policy was put in force while a form was read.
var errPolicy = errors.New("another policy was put in force meanwhile")

// take takes what make makes: nothing with a fault, what is in doubt only when asked, and
// what was taken already once. The page shows the form again.
func (c *charting) take(make func(time.Time, forms.Faults) []*draft, page func(int, forms.Faults) answer, kind access.EventKind,
	to string) (answer, error) {
	faults := forms.Faults{}
	all := make(c.when(), faults)
	if len(all) == 0 && len(faults) == 0 {
		faults.Add("", words.Say("Nothing was filled in, so nothing was charted."))
	}
	if len(faults) > 0 {
		return page(422, faults), nil
	}
	again, err := c.judge(&all, make, faults)
	if err != nil {
		return answer{}, err
	}
	if len(faults) > 0 {
		return page(422, faults), nil
	}
	if doubts := c.doubts(all); len(doubts) > 0 && !again && c.posted.Get("sure") != digestOf(doubts) {
		return c.askSure(all, doubts), nil
	}
	if err := c.noteCharted(kind, all); err != nil {
		return answer{}, err
	}
	return c.append(make, page, to)
}

// judge holds what is offered to what is held. What is held already is made again for the
// moment at which it was taken: sent twice, it is the same.
func (c *charting) judge(all *[]*draft, make func(time.Time, forms.Faults) []*draft, faults forms.Faults) (again bool, err error) {
	err = c.journal.Holding(c.r.Context(), func(held entry.Holding) {
		if was := heldOf(held, *all); was != nil {
			again = true
			*all = make(was.At.Time, faults)
		}
		if _, issues := entry.Accept(held, entriesOf(*all), c.policy.Lists(), c.policy.ClockTolerance, c.now.In(c.policy.Zone)); len(
			issues,
		) > 0 {
			tellAll(*all, issues, faults)
		}
	})
	return again, err
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

func tellAll(all []*draft, issues []entry.Issue, faults forms.Faults) {
	for _, i := range issues {
		if at := slices.IndexFunc(all, func(o *draft) bool { return o.Line == i.Line }); at >= 0 {
			all[at].tell(i, faults)
		}
	}
}

// noteCharted traces what is about to be taken; what cannot be traced is not.
func (c *charting) noteCharted(kind access.EventKind, all []*draft) error {
	var kinds, infants []string
	for _, o := range all {
		what := o.Kind
		if o.Corrected != nil {
			what += " of " + o.Corrected.Kind
		}
		if !slices.Contains(kinds, what) {
			kinds = append(kinds, what)
		}
		for _, key := range o.About() {
			if !slices.Contains(infants, key) {
				infants = append(infants, key)
			}
		}
	}
	return c.Access.Note(c.r.Context(), c.r.who, c.r.from, access.Event{Unit: c.r.unit, Kind: kind, What: strings.Join(kinds, ", "),
		Infants: infants, Whole: len(infants) == 0})
}

// append takes it, within a transaction in which what is held is looked at once more.
func (c *charting) append(make func(time.Time, forms.Faults) []*draft, page func(int, forms.Faults) answer, to string) (answer, error) {
	faults := forms.Faults{}
	var all []*draft
	ctx := context.WithoutCancel(c.r.Context()) // a tablet that goes away does not undo a touch
	_, err := c.journal.Append(ctx, c.policy, func(held *journal.Held) ([]*entry.Entry, error) {
		if held.Policy == nil || held.Policy.Hash() != c.policy.Hash() {
			return nil, errPolicy
		}
		all = make(c.when(), faults)
		if was := heldOf(held, all); was != nil {
			all = make(was.At.Time, faults)
		}
		return entriesOf(all), nil
	})
	var refused *journal.Refused
	var unproven *journal.Unproven
	switch {
	case errors.As(err, &refused):
		tellAll(all, refused.Issues, faults)
		return page(422, faults), nil
	case errors.Is(err, errPolicy):
		changed := words.Say("The unit's policy was changed just now. Nothing was taken: look at the form, and send it again.")
		return page(422, forms.Faults{"": {Text: changed}}), nil
	case errors.As(err, &unproven):
		c.Log.Error("entries were taken, but what proves them whole could not be kept", "request", c.r.id)
	case err != nil:
		return answer{}, err
	}
	return answer{to: to}, nil
}
