package web

import (
	"net/url"
	"slices"
	"strings"
	"unicode/utf8"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/page"
	"cotline/internal/web/words"
)

// asWho is who is charted, as it stays in sight.
type asWho struct {
	Cot, Name, Number []page.Span
	Back, BackSaid    string        // a path, empty for none, and where it leads
	LookAlike         [][]page.Span // the others, and why
}

func (c *charting) who() *asWho {
	if c.summary == nil {
		return nil
	}
	screen := page.NewScreen(c.snap.handover)
	told := screen.Infant(c.summary)
	w := &asWho{Cot: told.Cot, Name: told.Name, Number: told.Number, Back: infantPath(c.r.unit, c.infant),
		BackSaid: words.Say("Back to this infant")}
	for _, l := range c.summary.LookAlikes {
		if x, here := c.snap.infants[l.Infant]; here {
			w.LookAlike = append(w.LookAlike, append(screen.Called(x.summary), page.Span{Text: " (" + l.Why + ")"}))
		}
	}
	return w
}

// whoPage asks which of two infants that are alike this is, and carries what was posted.
type whoPage struct {
	Who     *asWho
	Title   string
	Whole   bool // the last three digits of both are the same
	Digits  int
	Label   bool // there is no number, only the unit's own label
	Problem string
	Carried []carried
}

type carried struct{ Name, Value string }

var wrongDigits = words.Key("That is not the number of this infant. Look at the wristband, and at who is charted here.")

// mustAsk says whether an infant has a look-alike and a number to tell it by.
func (c *charting) mustAsk() bool {
	return c.summary != nil && len(c.summary.LookAlikes) > 0 && numberOf(c.summary) != ""
}

// numberOf is the hospital's number, or else the unit's own label.
func numberOf(f *handover.Summary) string {
	if f.MRN != "" {
		return entry.OneForm(f.MRN)
	}
	return entry.OneForm(f.Temporary)
}

// lastDigits are how many are asked.
const lastDigits = 3

// tail is the end of a number, whole where it is short.
func tail(number string) string {
	r := []rune(number)
	return string(r[max(0, len(r)-lastDigits):])
}

// sameTail says whether a look-alike's number ends alike: then the end tells nothing.
func (c *charting) sameTail() bool {
	own := tail(numberOf(c.summary))
	return slices.ContainsFunc(c.summary.LookAlikes, func(l handover.LookAlike) bool {
		x, here := c.snap.infants[l.Infant]
		return here && strings.EqualFold(tail(numberOf(x.summary)), own)
	})
}

// proven says whether nothing must be asked, or what was typed, or read off the wristband
// by a scanner that types, is the number or its end.
func (c *charting) proven() bool {
	if !c.mustAsk() {
		return true
	}
	typed, number := entry.OneForm(c.posted.Get("digits")), numberOf(c.summary)
	return strings.EqualFold(typed, number) || !c.sameTail() && strings.EqualFold(typed, tail(number))
}

// askWho asks which infant this is. A wrong answer is told, none is asked for.
func (c *charting) askWho(problem string) (answer, error) {
	p, status := c.asksWho(problem), 0
	p.Who.Number = nil // it is to be read off the wristband
	if p.Problem != "" {
		status = 422
	}
	return answer{status: status, page: "chart-who", title: c.title(), data: *p}, nil
}

// asksWho is what asks which infant this is. The problem is one of what was typed, if anything.
func (c *charting) asksWho(problem string) *whoPage {
	p := &whoPage{Who: c.who(), Title: c.title(), Whole: c.sameTail(), Label: c.summary.MRN == "", Carried: carry(c.posted, "digits"),
		Digits: utf8.RuneCountInString(tail(numberOf(c.summary)))}
	if c.posted.Get("digits") != "" {
		p.Problem = words.Text(problem)
	}
	return p
}

// what says in a line whom and what a form is for.
func (c *charting) what() string {
	who := c.who()
	if who == nil {
		return c.sheet.title
	}
	return page.Plain(slices.Concat(who.Cot, []page.Span{{Text: ", "}}, who.Name)) + ": " + c.sheet.title
}

// carry is what was posted, to be posted again, but for some names.
func carry(posted url.Values, but ...string) (out []carried) {
	names := make([]string, 0, len(posted))
	for name := range posted {
		if !slices.Contains(but, name) {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		for _, value := range posted[name] {
			out = append(out, carried{name, value})
		}
	}
	return out
}

// title is that of the page, with the cot.
func (c *charting) title() string {
	switch {
	case c.sheet.newInfant:
		return c.sheet.title
	case c.summary == nil:
		return words.Say("The unit: %s", c.sheet.title)
	}
	return words.Say("Cot %s: %s", c.summary.Cot, c.sheet.title)
}
