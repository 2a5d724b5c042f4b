package handover

import (
	"slices"
	"time"
)

// reading is one infant's record read at a moment: what every fact is computed
// from.
type reading struct {
	p        *Policy
	at       time.Time
	since    time.Time       // start of the window
	from     *signedHandover // that the window starts from; nil: another start
	record   *Record
	all      []*Standing // of the record, up to at
	stays    []*Stay
	stay     *Stay
	own      map[string][]*Standing // of the stay, by kind
	spells   []*spell
	spell    *spell // the current one, nil when off support
	remarks  []Remark
	planned  []*Standing
	deferred []*Standing
}

func newReading(p *Policy, record *Record, stay *Stay, at time.Time) *reading {
	r := &reading{p: p, at: at, record: record, stay: stay, all: upTo(record.Entries, at), own: map[string][]*Standing{}}
	var strays []*Standing
	r.stays, strays = staysOf(r.all)
	r.all = slices.DeleteFunc(slices.Clone(r.all), func(e *Standing) bool { return slices.Contains(strays, e) })
	for _, e := range r.all {
		if stay.holds(e) {
			r.own[e.Kind] = append(r.own[e.Kind], e)
		}
	}
	for _, e := range strays {
		why := "a discharge without an admission: counts for nothing"
		if e.Kind == "admission" {
			why = "a second admission without a discharge: counts for nothing"
		}
		r.remark(e, why)
	}
	r.readSpells()
	r.planned, r.deferred = r.own["plan"], r.own["deferral"]
	return r
}

// remark is told once, however often the entry is read.
func (r *reading) remark(e *Standing, why string) {
	if x := (Remark{Entry: e.ID, Why: why}); !slices.Contains(r.remarks, x) {
		r.remarks = append(r.remarks, x)
	}
}

// source follows a fact back to its entry.
func (r *reading) source(e *Standing) Source {
	s := Source{At: e.At.Time, By: e.By, Entry: e.ID}
	if d := e.Charted.Sub(e.At.Time); d > r.p.ClockTolerance || -d > r.p.ClockTolerance {
		s.Charted = e.Charted.Time
	}
	if e.Correction != nil {
		s.By = e.Correction.By
		s.Corrected = &Amended{By: e.Correction.By, Charted: e.Correction.Charted.Time}
	}
	return s
}

// latest is the last entry that passes, nil for none.
func latest(entries []*Standing, pass func(*Standing) bool) *Standing {
	for _, e := range slices.Backward(entries) {
		if pass(e) {
			return e
		}
	}
	return nil
}

// always passes every entry.
func always(*Standing) bool { return true }

// having passes entries with a field.
func having(field string) func(*Standing) bool {
	return func(e *Standing) bool { return e.Has(field) }
}

// being passes entries whose word is one of some.
func being(field string, words ...string) func(*Standing) bool {
	return func(e *Standing) bool { return contains(words, e.Text(field)) }
}

// inWindow says whether a moment lies after since, up to and including at.
func (r *reading) inWindow(t time.Time) bool { return t.After(r.since) && !t.After(r.at) }

// today is the civil day of the reading.
func (r *reading) today() Date { return DateOf(r.at, r.p.Zone) }

func (r *reading) day(t time.Time) Date { return DateOf(t, r.p.Zone) }

// notBefore passes entries from a moment on.
func notBefore(t time.Time) func(*Standing) bool {
	return func(e *Standing) bool { return !e.At.Before(t) }
}

func latestOf(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}
