package web

import (
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

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
