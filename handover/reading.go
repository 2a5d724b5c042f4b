package handover

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// reading is one infant's record read at a moment: what every fact is computed
// from.
type reading struct {
	p        *Policy
	at       time.Time
	since    time.Time       // start of the window
	from     *signedHandover // that the window starts from; nil: another start
	record   *entry.Record
	all      []*entry.Standing // of the record, up to at
	stays    []*entry.Stay
	stay     *entry.Stay
	kinds    map[string][]*entry.Standing // of the record, by kind
	own      map[string][]*entry.Standing // of the stay, by kind
	carrying few[*entry.Standing]         // settings of the stay, by field, once asked for
	newest   few[*entry.Standing]         // observation of the stay, by field, once asked for
	seen     few[seen]                    // by site, once asked for
	tubes    map[string]*tubeState        // by use, once asked for
	spells   []*spell
	spell    *spell // the current one, nil when off support
	remarks  []Remark
	planned  []*entry.Standing
	deferred []*entry.Standing
}

// seen is one site of one skin check.
type seen struct {
	site  *entry.Value
	check *entry.Standing
}

func newReading(p *Policy, record *entry.Record, stay *entry.Stay, at time.Time) *reading {
	r := &reading{p: p, at: at, record: record, stay: stay, all: entry.UpTo(record.Entries, at)}
	var strays []*entry.Standing
	r.stays, strays = entry.StaysOf(r.all)
	if len(strays) > 0 {
		r.all = slices.DeleteFunc(slices.Clone(r.all), func(e *entry.Standing) bool { return slices.Contains(strays, e) })
	}
	r.kinds = byKind(r.all, func(*entry.Standing) bool { return true })
	if r.own = r.kinds; !stay.First || stay.Discharge != nil {
		r.own = byKind(r.all, stay.Holds)
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

// byKind are the entries that pass, by kind. There are few kinds and many entries.
func byKind(entries []*entry.Standing, pass func(*entry.Standing) bool) map[string][]*entry.Standing {
	kinds := few[*entry.Standing]{}
	for _, e := range entries {
		if pass(e) {
			of := kinds.of(e.Kind)
			*of = append(*of, e)
		}
	}
	out := make(map[string][]*entry.Standing, len(kinds))
	for _, k := range kinds {
		out[k.name] = k.all
	}
	return out
}

// remark is told once, however often the entry is read.
func (r *reading) remark(e *entry.Standing, why string) {
	if x := (Remark{Entry: e.ID, Why: why}); !slices.Contains(r.remarks, x) {
		r.remarks = append(r.remarks, x)
	}
}

// source follows a fact back to its entry.
func (r *reading) source(e *entry.Standing) Source {
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

// inWindow says whether a moment lies after since, up to and including at.
func (r *reading) inWindow(t time.Time) bool { return t.After(r.since) && !t.After(r.at) }

// today is the civil day of the reading.
func (r *reading) today() entry.Date { return entry.DateOf(r.at, r.p.Zone) }

func (r *reading) day(t time.Time) entry.Date { return entry.DateOf(t, r.p.Zone) }
