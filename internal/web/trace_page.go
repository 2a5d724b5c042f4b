package web

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"time"

	"cotline/internal/access"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

func tracePath(unit string) string { return "/units/" + url.PathEscape(unit) + "/trace" }

// tracePage says who did what in a unit, for its keeper.
type tracePage struct {
	Unit, Path  string
	Who, Infant string // that were asked for
	Days        []forms.Option
	Kinds       []forms.Option
	Looks       []lookLine // beyond the own unit, with their reasons
	Events      []traceLine
	More        int // that are not shown
	Findings    []string
	Chain       string
	Position    int64
	Problem     string
}

type lookLine struct{ At, Until, Who, Unit, Reason string }

type traceLine struct{ At, By, Kind, Done, From string }

// lookedAt are the kinds that a keeper looks at first: who looked beyond the own unit, who
// was let in, what was refused, and what became of accounts.
var lookedAt = []access.EventKind{access.LookedBeyond, access.GaveCode, access.Refused, access.SignInRefused, access.Limit,
	access.TokenRefused, access.TraceLost, access.People, access.Programs}

// mostEvents are shown; more are asked for more narrowly.
const mostEvents = 300

// mostFindingsShown are told one by one.
const mostFindingsShown = 20

func showTrace(s *Server, r *request) (answer, error) {
	asked := r.URL.Query()
	p := tracePage{Unit: r.unit, Path: tracePath(r.unit), Who: strings.ToLower(strings.TrimSpace(asked.Get("who"))),
		Infant: strings.TrimSpace(asked.Get("infant"))}
	about := access.About{Who: p.Who, Infant: p.Infant, Kinds: lookedAt}
	kind := asked.Get("kind")
	p.Kinds = []forms.Option{{Value: "", Label: words.Text("what to look at first"), Checked: kind == ""},
		{Value: "all", Label: words.Text("everything"), Checked: kind == "all"}}
	for _, k := range access.EventKinds {
		p.Kinds = append(p.Kinds, forms.Option{Value: string(k), Label: string(k), Checked: kind == string(k)})
	}
	switch {
	case kind == "all":
		about.Kinds = nil
	case slices.Contains(access.EventKinds, access.EventKind(kind)):
		about.Kinds = []access.EventKind{access.EventKind(kind)}
	case kind != "":
		p.Problem = words.Text("There is no such kind of event: choose one of the list.")
	}
	days := map[string]int{"": 7, "1": 1, "31": 31, "366": 366}
	back, known := days[asked.Get("days")]
	if !known {
		back = 7
	}
	p.Days = []forms.Option{
		{Value: "1", Label: words.Text("a day"), Checked: back == 1}, {Value: "", Label: words.Text("a week"), Checked: back == 7},
		{Value: "31", Label: words.Text("a month"), Checked: back == 31},
		{Value: "366", Label: words.Text("a year"), Checked: back == 366}}
	about.Since = s.Now().Add(-time.Duration(back) * 24 * time.Hour)
	read, err := s.Access.Trace(r.Context(), r.who, r.from, r.unit, about)
	if err != nil {
		return answer{}, err
	}
	looks, err := s.Access.Looks(r.Context(), r.who, r.from, r.unit)
	if err != nil {
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
		if n == mostEvents {
			p.More = len(read.Events) - n
			break
		}
		e := &read.Events[n]
		at := e.At.In(zone).Format("2 Jan 2006 15:04:05 -07:00")
		p.Events = append(p.Events, traceLine{at, e.By(), string(e.Kind), e.Done(), e.Address})
	}
	for _, f := range read.Findings[:min(len(read.Findings), mostFindingsShown)] {
		p.Findings = append(p.Findings, f.String())
	}
	p.Chain, p.Position = read.Head.Chain.String(), read.Head.Position
	status := 0
	if p.Problem != "" {
		status = http.StatusUnprocessableEntity
	}
	return answer{status: status, page: "trace", title: words.Text("Who did what"), data: p}, nil
}
