package web

import (
	"errors"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"cotline/internal/access"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// tracePage says who did what in a unit, for its keeper.
type tracePage struct {
	Unit, Path  string
	Who, Infant string // that were asked for
	Days        []forms.Option
	Kinds       []forms.Option
	Looks       []lookLine // beyond the own unit, with their reasons
	Events      []traceLine
	Older       string // path of what was before; empty: nothing was
	Whole       string // path of the same with all of the trace held to its chain; empty: it is
	Findings    []string
	Beside      int    // findings that are not told one by one
	Chain       string // empty where there are findings
	Position    int64
	Problem     string
	before      int64 // the position before which it was asked for; zero: the latest
}

type lookLine struct{ At, Until, Who, Unit, Reason string }

type traceLine struct{ At, By, Kind, Done, From string }

// lookedAt are the kinds that a keeper looks at first: who looked beyond the own unit, who
// was let in, what was refused, and what became of accounts.
var lookedAt = []access.EventKind{access.LookedBeyond, access.GaveCode, access.Refused, access.SignInRefused, access.Limit,
	access.TokenRefused, access.TraceLost, access.People, access.PasswordSet, access.Programs}

// mostOfTrace is what a page reads of a trace.
var mostOfTrace = access.Part{Events: 300, Rows: 20000}

// mostFindingsShown are told one by one.
const mostFindingsShown = 20

// daysBack are how far back can be asked; a week where nothing is said.
var daysBack = []struct {
	asked, said string
	days        int
}{{"1", words.Key("a day"), 1}, {"", words.Key("a week"), 7}, {"31", words.Key("a month"), 31}, {"366", words.Key("a year"), 366}}

// traceAsked reads what was asked for, and shows it as it was.
func (s *Server) traceAsked(r *request) (tracePage, access.About) {
	asked := r.URL.Query()
	kind, days := asked.Get("kind"), asked.Get("days")
	p := tracePage{Unit: r.unit, Path: tracePath(r.unit), Who: strings.ToLower(strings.TrimSpace(asked.Get("who"))),
		Infant: strings.TrimSpace(asked.Get("infant"))}
	about := access.About{Who: p.Who, Infant: p.Infant, Kinds: lookedAt}
	p.Kinds = []forms.Option{{Value: "", Label: words.Say("what to look at first"), Checked: kind == ""},
		{Value: "all", Label: words.Say("everything"), Checked: kind == "all"}}
	for _, k := range access.EventKinds {
		p.Kinds = append(p.Kinds, forms.Option{Value: string(k), Label: string(k), Checked: kind == string(k)})
	}
	switch {
	case kind == "all":
		about.Kinds = nil
	case slices.Contains(access.EventKinds, access.EventKind(kind)):
		about.Kinds = []access.EventKind{access.EventKind(kind)}
	case kind != "":
		p.Problem = words.Say("There is no such kind of event: choose one of the list.")
	}
	for _, d := range daysBack {
		chosen := d.asked == days
		if p.Days = append(p.Days, forms.Option{Value: d.asked, Label: words.Text(d.said), Checked: chosen}); chosen {
			about.Since = s.Now().Add(-time.Duration(d.days) * 24 * time.Hour)
		}
	}
	if about.Since.IsZero() {
		p.Problem = words.Say("It cannot be asked for so many days: choose one of the list.")
	}
	if text := asked.Get("before"); text != "" {
		var err error
		if p.before, err = strconv.ParseInt(text, 10, 64); err != nil || p.before < 1 {
			p.before, p.Problem = 0, words.Say("There is no such place in the list: this is its beginning.")
		}
	}
	return p, about
}

func showTrace(s *Server, r *request) (answer, error) {
	p, about := s.traceAsked(r)
	status := 0
	if p.Problem != "" {
		status = http.StatusUnprocessableEntity
	}
	read, err := s.readTrace(r, &p, about)
	if err != nil {
		return answer{}, err
	}
	looks, err := s.Access.Looks(r.Context(), r.who, r.from, r.unit)
	switch {
	case errors.Is(err, access.ErrDamaged): // the trace, which tells of each look, is read all the same
		p.Problem = words.Say("Why somebody looked beyond her own unit cannot be read: what is kept of it is damaged.")
	case err != nil:
		return answer{}, err
	}
	zone := s.zone(r)
	for _, l := range looks {
		if !l.From.Before(about.Since) && (p.Who == "" || p.Who == l.Person) {
			from, until := l.From.In(zone).Format("2 Jan 2006 15:04"), l.Until.In(zone).Format("15:04")
			p.Looks = append(p.Looks, lookLine{from, until, l.Person, l.Unit, l.Reason})
		}
	}
	slices.Reverse(read.Events)
	for n := range read.Events {
		e := &read.Events[n]
		at := e.At.In(zone).Format("2 Jan 2006 15:04:05 -07:00")
		p.Events = append(p.Events, traceLine{at, e.By(), string(e.Kind), e.Done(), e.Address})
	}
	findings := read.Findings[:min(len(read.Findings), mostFindingsShown)]
	for _, f := range findings {
		p.Findings = append(p.Findings, f.String())
	}
	if p.Beside = len(read.Findings) - len(findings); len(findings) == 0 {
		p.Chain, p.Position = read.Head.Chain.String(), read.Head.Position
	}
	return answer{status: status, page: "trace", title: words.Say("Who did what"), data: p}, nil
}

// readTrace reads a part of the trace, from its end or from where the page before ended; or,
// where that is asked for, holds all of it to its chain and shows the latest.
func (s *Server) readTrace(r *request, p *tracePage, about access.About) (read access.Reading, err error) {
	asked := r.URL.Query()
	with := func(name, value string) string {
		q := url.Values{}
		for _, same := range []string{"kind", "days", "who", "infant"} {
			if v := asked.Get(same); v != "" {
				q.Set(same, v)
			}
		}
		q.Set(name, value)
		return p.Path + "?" + q.Encode()
	}
	if asked.Get("whole") != "" {
		read, err = s.Access.Trace(r.Context(), r.who, r.from, r.unit, about)
		if beside := len(read.Events) - mostOfTrace.Events; beside > 0 {
			read.Events = read.Events[beside:]
			read.Older = read.Events[0].Position
		}
	} else {
		part := mostOfTrace
		part.Before = p.before
		read, err = s.Access.TraceBack(r.Context(), r.who, r.from, r.unit, about, part)
		p.Whole = with("whole", "yes")
	}
	if read.Older > 0 {
		p.Older = with("before", strconv.FormatInt(read.Older, 10))
	}
	return read, err
}
