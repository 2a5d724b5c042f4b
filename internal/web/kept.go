package web

import (
	"bytes"
	"encoding/json"
	"html/template"
	"net/url"
	"slices"
	"time"

	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// keeping is what a device keeps of somebody's own infants, to be read and charted on
// while the server does not answer: pages by path, which say so themselves. The device
// puts in for the marks since when that is, and each time another token.
type keeping struct {
	User  string            `json:"user"`
	Home  string            `json:"home"` // path of the page that leads to the others
	Zone  string            `json:"zone"`
	Now   time.Time         `json:"now"`   // by the server's clock
	Until time.Time         `json:"until"` // the session ends, and what is kept is wiped
	Theme string            `json:"theme"`
	Pages map[string]string `json:"pages"`
}

// Marks in pages that are kept.
const (
	sinceMark = "@@since@@"
	tokenMark = "@@token@@"
)

// keptWard is the page that leads to the others.
type keptWard struct {
	Whose string // whose infants they are
	Lines []template.HTML
}

// keptInfant is one infant in short, with the forms that are kept.
type keptInfant struct {
	page.Told
	At       string
	Charting string // path, empty for who may not
	Rounds   []*sheet
	Kinds    []*sheet
}

// keptKinds are what no round asks for and what cannot wait for the server. All else can,
// or goes on paper: what is on the device is the least that is needed.
var keptKinds = []string{"episode", "gas", "support", "care", "told", "note"}

// keep sends what a device is to keep. It is traced as it is sent: what is read of it
// later nobody can trace.
func keep(s *Server, r *request) (answer, error) {
	h, err := s.handingOver(r)
	if err != nil {
		return answer{}, err
	}
	own := h.own()
	if len(own) > 0 {
		if err := s.note(r.Context(), r, access.Event{What: "kept on the device", Infants: own}); err != nil {
			return answer{}, err
		}
	}
	k := &keeping{User: r.who.Name, Home: wardPath(r.unit), Zone: h.policy.Zone.String(), Now: h.now.UTC(), Until: r.who.Until.UTC(),
		Theme: themeOf(r), Pages: map[string]string{}}
	if err := h.keep(k, own); err != nil {
		return answer{}, err
	}
	var body bytes.Buffer
	enc := json.NewEncoder(&body)
	enc.SetEscapeHTML(false) // it is no part of a page, and half as long
	err = enc.Encode(k)
	return answer{body: body.Bytes(), kind: "application/json"}, err
}

// keep renders the pages of some infants.
func (h *handingOver) keep(k *keeping, own []string) error {
	round := &keptRound{At: clockIn(h.snap.oldest, h.now, h.policy.Zone), Home: k.Home, Since: sinceMark, Warning: h.snap.Ward().Warning(),
		Clock: h.snap.clockWasOdd(h.now)}
	ward := keptWard{Whose: words.Say(
		"Whom you took over, or charted on in the last %d hours, and nobody took over since. For the others use the last printed ward.",
		h.Access.Limits.Absolute/time.Hour)}
	lines, err := h.wardLines(h.r.unit, h.snap, h.screen)
	if err != nil {
		return err
	}
	for _, l := range lines {
		if slices.Contains(own, l.Infant) {
			ward.Lines = append(ward.Lines, l.drawn)
			round.Links = append(round.Links, keptLink{l.Path, l.Cot})
		}
	}
	put := func(path, name, title string, data any) error {
		var b bytes.Buffer
		l := laid{Title: title, Theme: k.Theme, Caution: page.Caution, Path: path, Who: h.r.who, Data: data, Kept: round}
		err := h.pages[name].ExecuteTemplate(&b, "kept", l)
		k.Pages[path] = b.String()
		return err
	}
	if err := put(k.Home, "kept-ward", words.Say("Your infants"), ward); err != nil {
		return err
	}
	for _, key := range own {
		c := h.charting.of(key)
		p := keptInfant{Told: h.screen.Infant(c.summary), At: round.At}
		if h.r.who.May(h.r.unit, access.Chart) {
			p.Charting, p.Rounds = chartPath(h.r.unit, key), rounds()
			for _, name := range keptKinds {
				p.Kinds = append(p.Kinds, sheetOf(name, key))
			}
		}
		if err := put(infantPath(h.r.unit, key), "kept-infant", words.Say("Cot %s", c.summary.Cot), p); err != nil {
			return err
		}
		for _, x := range slices.Concat(p.Rounds, p.Kinds) {
			form := c.keptForm(x)
			if err := put(p.Charting+"/"+x.name, "chart", form.Title, form); err != nil {
				return err
			}
		}
	}
	return nil
}

// of is charting on an infant who is here.
func (c *charting) of(infant string) *charting {
	one := *c
	one.infant, one.posted = infant, url.Values{"token": {tokenMark}}
	_, _, one.summary, _ = c.snap.Infant(infant)
	return &one
}

// keptForm is a form to fill in without the server. Which of two infants that are alike
// this is, is asked in it, and proven when it is sent.
func (c *charting) keptForm(x *sheet) *chartPage {
	c.sheet = x
	c.parts = x.parts(c)
	p := c.form(0, forms.Faults{}).data.(*chartPage)
	p.Send, p.Says = words.Say("Chart it, to be sent later"), words.Say("What you chart waits on this device until the server answers.")
	if c.mustAsk() {
		p.Ask = c.asksWho("")
		p.Who.Number = nil // it is to be read off the wristband
	}
	return p
}
