package web

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// movePage moves entries to the infant they belong to: it asks which, lists them in
// words, and moves all or none.
type movePage struct {
	Who          *asWho
	Title        string
	Token        string
	Others       []forms.Option // look-alikes first
	OtherFault   string
	Since, Until *forms.Control
	Reason       *forms.Control
	Swap         bool
	Problem      string
	Listed       []string // what would move
	Digest       string
	Carried      []carried
}

func showMove(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	c.posted.Set("token", uuid.NewString())
	return c.moveForm(0, forms.Faults{}), nil
}

func (c *charting) moveForm(status int, faults forms.Faults) answer {
	c.sheet = &sheet{title: words.Say("Charted on the wrong infant")}
	p := movePage{Who: c.who(), Title: c.title(), Token: c.posted.Get("token"),
		Swap: c.posted.Get("swap") != "", Others: c.others(),
		Reason: &forms.Control{Name: "reason", As: forms.AsLine, Label: words.Say("Why"), Required: true, Value: c.posted.Get("reason")}}
	for _, x := range []struct {
		to    **forms.Control
		name  string
		label string
	}{{&p.Since, "since", words.Say("From")}, {&p.Until, "until", words.Say("Up to")}} {
		*x.to = &forms.Control{Name: x.name, As: forms.AsMoment, Label: x.label, Required: true, Day: c.posted.Get(x.name + ".day"),
			Time: c.posted.Get(x.name + ".time"), Which: c.posted.Get(x.name + ".which")}
		if f := faults[x.name]; f != nil {
			(*x.to).Fault, (*x.to).Asked = f.Text, f.Choose
		}
	}
	for name, f := range faults {
		switch name {
		case "to":
			p.OtherFault = f.Text
		case "reason":
			p.Reason.Fault = f.Text
		case "":
			p.Problem = f.Text
		}
	}
	return answer{status: status, page: "chart-move", title: c.title(), data: p}
}

// others are the infants that entries could belong to, those who look alike first.
func (c *charting) others() (out []forms.Option) {
	alike := func(f *handover.Summary) int {
		if slices.ContainsFunc(c.summary.LookAlikes, func(l handover.LookAlike) bool { return l.Infant == f.Infant }) {
			return 0
		}
		return 1
	}
	all := slices.Clone(c.snap.handover.Infants)
	slices.SortStableFunc(all, func(a, b *handover.Summary) int { return cmp.Compare(alike(a), alike(b)) })
	screen := page.NewScreen(c.snap.handover)
	for _, f := range all {
		if f.Infant == c.infant {
			continue
		}
		label := page.Plain(screen.Called(f))
		if alike(f) == 0 {
			label = words.Say("%s, look-alike", label)
		}
		out = append(out, forms.Option{Value: f.Infant, Label: label, Checked: c.posted.Get("to") == f.Infant})
	}
	return out
}

// moved is what was asked for, with what is wrong with it.
func (c *charting) moved(faults forms.Faults) journal.Move {
	m := journal.Move{
		From:   c.infant,
		To:     c.posted.Get("to"),
		Swap:   c.posted.Get("swap") != "",
		Reason: strings.TrimSpace(c.posted.Get("reason")),
		By:     c.r.who.Name,
	}
	if _, here := c.snap.infants[m.To]; !here || m.To == m.From {
		faults.Add("to", words.Say("Choose the infant that they belong to."))
	}
	if m.Reason == "" {
		faults.Add("reason", words.Say("This is needed."))
	}
	for _, x := range []struct {
		name string
		to   *time.Time
	}{{"since", &m.Since}, {"until", &m.Until}} {
		text, ok := c.asked(c.now).Moment(x.name, false, c.posted.Get, faults)
		if at, err := entry.ParseMoment(text); err == nil {
			*x.to = at.Time
		} else if ok {
			faults.Add(x.name, words.Say("This is needed."))
		}
	}
	if faults["since"] == nil && faults["until"] == nil && m.Until.Before(m.Since) {
		faults.Add("until", words.Say("This is before the moment above."))
	}
	return m
}

// errMoved says that what was confirmed is no longer what there is.
var errMoved = errors.New("the record changed meanwhile")

// move lists what would move, and moves it once that was confirmed.
func move(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	faults := forms.Faults{}
	token, err := uuid.Parse(c.posted.Get("token"))
	if err != nil {
		c.posted.Set("token", uuid.NewString())
		return c.moveForm(422, faults), nil
	}
	m := c.moved(faults)
	if len(faults) > 0 || c.posted.Has("back") {
		return c.moveForm(map[bool]int{true: 422}[len(faults) > 0], faults), nil
	}
	done := answer{to: infantPath(r.unit, m.To)}
	var found []journal.Moving
	var of map[string]*entry.Record
	again := false
	if err := c.journal.Holding(r.Context(), func(held entry.Holding) {
		again = held.Entry(idOf(token, "moved 0").String()) != nil
		found = m.Find(held)
		of = map[string]*entry.Record{m.From: journal.RecordOf(held, m.From), m.To: journal.RecordOf(held, m.To)}
	}); err != nil || again {
		return done, err
	}
	if len(found) == 0 {
		return c.moveForm(422, forms.Faults{"": {Text: words.Say("Nothing to move: no entry of this infant happened then.")}}), nil
	}
	if c.posted.Get("sure") != movingDigest(found) {
		return c.listMoves(m, of, found), nil
	}
	if err := c.Access.Note(r.Context(), r.who, r.from, access.Event{Unit: r.unit, Kind: access.Corrected, What: "wrong infant",
		Infants: []string{m.From, m.To}, Detail: whole(len(found)) + " entries"}); err != nil {
		return answer{}, err
	}
	return c.moveAll(m, token, found, done)
}

func (c *charting) moveAll(m journal.Move, token uuid.UUID, found []journal.Moving, done answer) (answer, error) {
	n := -1
	next := func() string { n++; return idOf(token, "moved "+whole(n)).String() }
	_, err := c.journal.Append(c.r.Context(), c.policy, func(held *journal.Held) ([]*entry.Entry, error) {
		n = -1
		if held.Policy == nil || held.Policy.Hash() != c.policy.Hash() || !slices.EqualFunc(found, m.Find(held), journal.Moving.Same) {
			return nil, errMoved
		}
		out, issues := m.Entries(found, next, c.now.In(c.policy.Zone))
		if len(issues) > 0 {
			return nil, &journal.Refused{Issues: issues}
		}
		return out, nil
	})
	var refused *journal.Refused
	var unproven *journal.Unproven
	switch {
	case errors.As(err, &refused):
		i := refused.Issues[0]
		said := words.Say("Nothing was moved. Entry %d of the list: %s", i.Line, faultSaid(i))
		return c.moveForm(422, forms.Faults{"": {Text: said}}), nil
	case errors.Is(err, errMoved):
		said := words.Say("The record was changed meanwhile. Nothing was moved: look at the list again.")
		return c.moveForm(422, forms.Faults{"": {Text: said}}), nil
	case errors.As(err, &unproven):
		c.Log.Error("entries were taken, but what proves them whole could not be kept", "request", c.r.id)
	case err != nil:
		return answer{}, err
	}
	return done, nil
}

// listMoves asks whether these are the ones.
func (c *charting) listMoves(m journal.Move, of map[string]*entry.Record, found []journal.Moving) answer {
	a := c.moveForm(0, forms.Faults{})
	p := a.data.(movePage)
	tell, cots := map[string]*handover.Telling{}, map[string]string{}
	for _, key := range []string{m.From, m.To} {
		cots[key] = key
		if t := handover.Tell(c.policy, of[key], c.now); t != nil {
			tell[key], cots[key] = t, words.Say("cot %s", t.Called().Cot)
		}
	}
	for _, e := range found {
		said := e.Kind
		if t := tell[e.Infant]; t != nil {
			said = t.Said(e.Standing)
		}
		at := e.At.In(c.policy.Zone).Format("Mon 2 Jan 15:04")
		p.Listed = append(p.Listed, words.Say("%s, %s to %s: %s, by %s", at, cots[e.Infant], cots[e.To], said, e.By))
	}
	p.Digest, p.Carried = movingDigest(found), carry(c.posted, "sure", "back")
	a.data = p
	return a
}

// movingDigest tells one list from another: only what was listed is moved.
func movingDigest(found []journal.Moving) string {
	h := sha256.New()
	for _, e := range found {
		fmt.Fprintf(h, "%s %s\n", e.To, e.AppendCanonical(nil)) // a hash takes all
	}
	return hex.EncodeToString(h.Sum(nil)[:8])
}
