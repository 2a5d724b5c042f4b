package web

import (
	"cmp"
	"net/url"
	"slices"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/web/words"
)

// timelinePage is an infant's entries, the latest first, as they stand, with who and when,
// and what was corrected or withdrawn.
type timelinePage struct {
	Who     *asWho
	Title   string
	Days    []timelineDay
	Earlier string // path of what is before it; empty: nothing is
}

type timelineDay struct {
	Day     string
	Entries []timelineEntry
}

type timelineEntry struct {
	ID, At, Said, By         string
	Late                     string // when it was charted, where that is not at once
	Corrected, Withdrawn     string // by whom, when and why
	CorrectPath, RetractPath string
}

// timelineFor is how much of it one page shows; older days stand behind a link.
const timelineFor = 24 * time.Hour

func showTimeline(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	before := c.now.Add(c.policy.ClockTolerance)
	if m, err := entry.ParseMoment(r.URL.Query().Get("before")); err == nil && m.Before(before) {
		before = m.Time
	}
	if at := c.moment(r.URL.Query().Get("entry")); at != nil {
		before = at.Add(timelineFor / 2)
	}
	x := c.snap.infants[c.infant].entries
	all := slices.Concat(x.who, x.care)
	known := c.now
	for _, e := range all {
		if e.Charted.After(known) {
			known = e.Charted.Time
		}
	}
	record, amended := entry.Replay(all, known).Of(c.infant), entry.Amendments(all)
	shown := slices.Clone(record.Entries)
	for _, e := range record.Withdrawn {
		shown = append(shown, &entry.Standing{Entry: e})
	}
	slices.SortStableFunc(shown, func(a, b *entry.Standing) int {
		return cmp.Or(b.At.Compare(a.At.Time), b.Charted.Compare(a.Charted.Time))
	})
	c.sheet = &sheet{title: words.Say("Entries")}
	p := timelinePage{Who: c.who(), Title: c.title()}
	tell := handover.Tell(c.policy, record, known)
	var from time.Time
	for _, e := range shown {
		if !e.At.Before(before) {
			continue
		}
		if from.IsZero() {
			from = e.At.Add(-timelineFor)
		}
		if e.At.Before(from) {
			p.Earlier = infantPath(
				r.unit,
				c.infant,
			) + "/entries?" + url.Values{
				"before": {entry.Stamp(e.At.Add(time.Second), c.policy.Zone)},
			}.Encode()
			break
		}
		if day := e.At.In(c.policy.Zone).Format("Monday 2 January 2006"); len(p.Days) == 0 || p.Days[len(p.Days)-1].Day != day {
			p.Days = append(p.Days, timelineDay{Day: day})
		}
		d := &p.Days[len(p.Days)-1]
		d.Entries = append(d.Entries, c.timelineEntry(e, tell, amended[e.ID]))
	}
	return answer{page: "timeline", title: c.title(), data: p}, nil
}

// moment is when an entry of the infant happened as it was charted first, nil where there
// is none of that id.
func (c *charting) moment(id string) *time.Time {
	x := c.snap.infants[c.infant].entries
	for _, all := range [][]*entry.Entry{x.who, x.care} {
		for _, e := range all {
			if e.ID == id && !e.Amends() {
				return &e.At.Time
			}
		}
	}
	return nil
}

// timelineEntry is one entry in the words of a handover, with what became of it.
func (c *charting) timelineEntry(e *entry.Standing, tell *handover.Telling, amended []*entry.Entry) timelineEntry {
	zone := c.policy.Zone
	t := timelineEntry{ID: e.ID, At: e.At.In(zone).Format("15:04 -07:00"), Said: e.Kind, By: staffSaid(c.policy, e.By)}
	if tell != nil {
		t.Said = tell.Said(e)
	}
	if late := e.Charted.Sub(e.At.Time); late > c.policy.ClockTolerance {
		t.Late = clockIn(e.Charted.Time, c.now, zone)
	}
	withdrawn := false
	for _, a := range amended {
		said := staffSaid(c.policy, a.By) + ", " + clockIn(a.Charted.Time, c.now, zone) + ": " + a.Text("reason")
		switch {
		case a.Kind == "retraction" && a.Reference("of") == e.ID:
			t.Withdrawn, withdrawn = said, true
		case a == e.Correction:
			t.Corrected = said
		}
	}
	if !withdrawn && c.r.who.May(c.r.unit, access.Chart) {
		t.CorrectPath, t.RetractPath = entryPath(c.r.unit, c.infant, e.ID, "correct"), entryPath(c.r.unit, c.infant, e.ID, "retract")
	}
	return t
}
