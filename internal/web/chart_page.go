package web

import (
	"cmp"
	"slices"

	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// chartPage is a form, filled with what was posted.
type chartPage struct {
	Who         *asWho
	Title, Says string
	Back        string
	Token       string
	Digits      string
	Ask         *whoPage // which infant this is, where the form itself asks it
	By, What    string   // who fills it in, and what it is: for a device that keeps it
	Sent        string   // when it was sent, where it waited on a device
	NewInfant   bool
	Key         string
	KeyFault    string
	At          *forms.Control
	Reason      *forms.Control // of a correction
	Send        string
	Parts       []*partView
	Problem     string
	Faults      []faultLink
}

// faultLink leads to an input with which something is wrong.
type faultLink struct{ Name, Text string }

// form is the sheet, with what was posted, and what is wrong with it.
func (c *charting) form(status int, faults forms.Faults) answer {
	p := &chartPage{
		Who:       c.who(),
		Title:     c.title(),
		Says:      c.sheet.says,
		Back:      wardPath(c.r.unit),
		Token:     c.posted.Get("token"),
		Digits:    c.posted.Get("digits"),
		By:        c.r.who.Name,
		What:      c.what(),
		Sent:      c.posted.Get("sent.at"),
		NewInfant: c.sheet.newInfant,
		Key:       c.posted.Get("key"),
		Send:      words.Say("Chart it"),
	}
	if c.summary != nil {
		p.Back = infantPath(c.r.unit, c.infant)
	}
	for _, x := range c.parts {
		p.Parts = append(p.Parts, x.view(c, faults))
	}
	c.around(p, faults)
	return answer{status: status, page: "chart", title: c.title(), data: p}
}

// around is what every form has: the time, and what is wrong.
func (c *charting) around(p *chartPage, faults forms.Faults) {
	p.At = &forms.Control{Name: "at", As: forms.AsMoment, Label: words.Say("When"), Help: words.Say("left empty: now"),
		Day: c.posted.Get("at.day"), Time: c.posted.Get("at.time"), Which: c.posted.Get("at.which")}
	switch {
	case p.Sent == unknownSent:
		p.At.Help = words.Say("when it was done")
	case !c.sent.IsZero():
		p.At.Help = words.Say("left empty: when you sent it, %s", clockIn(c.sent, c.now, c.policy.Zone))
	}
	if f := faults["at"]; f != nil {
		p.At.Fault, p.At.Asked = f.Text, f.Choose
	}
	if f := faults["key"]; f != nil {
		p.KeyFault = f.Text
	}
	for name, f := range faults {
		if name == "" {
			p.Problem = f.Text
		} else {
			p.Faults = append(p.Faults, faultLink{name, led(p.labels()[name], f.Text)})
		}
	}
	slices.SortFunc(p.Faults, func(a, b faultLink) int { return cmp.Compare(a.Name, b.Name) })
}

// led puts the name of what is wrong before what is wrong.
func led(label, text string) string {
	if label == "" {
		return text
	}
	return label + ": " + text
}

// labels are those of all that is asked, by the names of inputs.
func (p *chartPage) labels() map[string]string {
	out := map[string]string{"at": words.Say("When")}
	var add func([]*forms.Control)
	add = func(all []*forms.Control) {
		for _, x := range all {
			out[x.Name] = x.Label
			add(x.In)
		}
	}
	for _, v := range p.Parts {
		add(v.Controls)
		add(v.More)
		if v.Skin != nil {
			for _, s := range v.Skin.Sites {
				out[s.Name] = s.Label
				add(s.Controls)
			}
		}
		for _, x := range v.Causes {
			add(x.Causes)
		}
	}
	return out
}

// menuPage leads to what can be charted.
type menuPage struct {
	Who           *asWho
	Title         string
	Charting      string
	Rounds, Kinds []*sheet
	Move          string // path of moving entries to the infant they belong to
}

// showMenu shows what can be charted.
func showMenu(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	c.sheet = &sheet{title: words.Say("Chart")}
	p := menuPage{Who: c.who(), Title: c.title(), Charting: chartPath(r.unit, c.infant),
		Kinds: plainSheets(c.infant != "")}
	if c.infant != "" {
		p.Rounds, p.Move = rounds(), infantPath(r.unit, c.infant)+"/wrong-infant"
		p.Kinds = slices.DeleteFunc(p.Kinds, func(s *sheet) bool { return slices.Contains(roundAlone, s.name) })
	}
	return answer{page: "chart-menu", title: c.title(), data: p}, nil
}

// Name, Heading and Hint are what a page says of a sheet.
func (s *sheet) Name() string    { return s.name }
func (s *sheet) Heading() string { return s.title }
func (s *sheet) Hint() string    { return s.says }
