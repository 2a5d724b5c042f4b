package handover

import (
	"iter"
	"slices"
	"time"

	"cotline/handover/entry"
)

// A Course is one infant's record as it came to be known: what it said at a moment, as
// far as that was written down by then. Between two corrections or retractions entries
// are only added, so that one reading of them serves every moment between.
type Course struct {
	p       *Policy
	infant  string
	entries []*entry.Entry
	amended []time.Time           // when corrections and retractions were charted, in order
	records map[int]*entry.Record // by how many of them were known
}

// Ending is when something that was so ceased to be so.
type Ending struct {
	Last time.Time // it was so still, by what had happened and was written down
	Seen time.Time // it was not, by the same
}

// NewCourse is the course of an infant's entries.
func NewCourse(p *Policy, infant string, entries []*entry.Entry) *Course {
	c := &Course{p: p, infant: infant, entries: entries, records: map[int]*entry.Record{}}
	for _, e := range entries {
		if e.Amends() {
			c.amended = append(c.amended, e.Charted.Time)
		}
	}
	slices.SortFunc(c.amended, time.Time.Compare)
	return c
}

// only is the course of the entries of some kinds, and of what amends them.
func (c *Course) only(kinds ...string) *Course {
	of := map[string]*entry.Entry{}
	for _, e := range c.entries {
		of[e.ID] = e
	}
	var some []*entry.Entry
	for _, e := range c.entries {
		root := e
		for range 2 { // a retraction may be of a correction
			if root != nil && root.Amends() {
				root = of[root.Reference("of")]
			}
		}
		if root != nil && slices.Contains(kinds, root.Kind) {
			some = append(some, e)
		}
	}
	return NewCourse(c.p, c.infant, some)
}

// Known are the entries as they stood by what was known at a moment, in the record's
// order, whenever they happened.
func (c *Course) Known(known time.Time) iter.Seq[*entry.Standing] {
	return func(yield func(*entry.Standing) bool) {
		for _, e := range c.until(known).Entries {
			if !e.Charted.After(known) && !yield(e) {
				return
			}
		}
	}
}

// until is the record as it stood before the first correction or retraction after known.
func (c *Course) until(known time.Time) *entry.Record {
	n := 0
	for n < len(c.amended) && !c.amended[n].After(known) {
		n++
	}
	if c.records[n] == nil {
		last := entry.Forever
		if n < len(c.amended) {
			last = c.amended[n].Add(-1)
		}
		c.records[n] = entry.Replay(c.entries, last).Of(c.infant)
	}
	return c.records[n]
}

// reading reads the record at a moment, by what was known at another; nil where the
// infant was not admitted then.
func (c *Course) reading(at, known time.Time) *reading {
	record := &entry.Record{Infant: c.infant}
	for e := range c.Known(known) {
		if e.At.After(at) {
			break
		}
		record.Entries = append(record.Entries, e)
	}
	stay := record.Admitted(at)
	if stay == nil {
		return nil
	}
	r := newReading(c.p, record, stay, at)
	r.since = at
	return r
}

// moments are those between two at which something happened or was written down, or a
// plan had just ended, in order; until itself stands at their end.
func (c *Course) moments(after, until time.Time) []time.Time {
	out := []time.Time{until}
	add := func(t time.Time) {
		if t.After(after) && t.Before(until) {
			out = append(out, t)
		}
	}
	for _, e := range c.entries {
		v := e.Says()
		add(e.Charted.Time) // of a correction, from then on what it corrects is not so
		add(latestOf(e.Charted.Time, v.At.Time))
		if end, ok := v.Moment("until"); ok && v.Kind == "plan" {
			add(end.Add(1))
		}
	}
	slices.SortFunc(out, time.Time.Compare)
	return slices.CompactFunc(out, time.Time.Equal)
}

func earliestOf(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}
