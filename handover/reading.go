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
	worn     []worn                       // stretches of the stay, once asked for
	ons      []worn                       // those of the current spell, once asked for
	sitesDue []siteDue                    // once asked for
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

// worn is a stretch of one interface on the face; typ is off for none.
type worn struct {
	typ, size string
	sized     bool
	from, to  time.Time // to is zero while it lasts
	entry     *entry.Standing
}

// siteDue is when a site falls due, and what its state is.
type siteDue struct {
	site     string
	checked  time.Time // zero: never
	due      time.Time
	overdue  *time.Time
	deferred bool
	until    time.Time
}

func newReading(p *Policy, record *entry.Record, stay *entry.Stay, at time.Time) *reading {
	r := &reading{p: p, at: at, record: record, stay: stay, all: entry.UpTo(record.Entries, at)}
	var strays []*entry.Standing
	r.stays, strays = entry.StaysOf(r.all)
	if len(strays) > 0 {
		r.all = slices.DeleteFunc(slices.Clone(r.all), func(e *entry.Standing) bool { return slices.Contains(strays, e) })
	}
	r.kinds = byKind(r.all)
	if r.own = r.kinds; !stay.First || stay.Discharge != nil {
		r.own = byKind(slices.DeleteFunc(slices.Clone(r.all), func(e *entry.Standing) bool { return !stay.Holds(e) }))
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

// byKind are entries by kind. There are few kinds and many entries, which are counted first,
// so that all lie in one piece.
func byKind(entries []*entry.Standing) map[string][]*entry.Standing {
	var kinds []string
	var count []int
	of := make([]int, len(entries)) // of which of the kinds
	for i, e := range entries {
		k := slices.Index(kinds, e.Kind)
		if k < 0 {
			k = len(kinds)
			kinds, count = append(kinds, e.Kind), append(count, 0)
		}
		of[i] = k
		count[k]++
	}
	room, all := make([]*entry.Standing, len(entries)), make([][]*entry.Standing, len(kinds))
	for k, n := range count {
		all[k], room = room[:0:n], room[n:]
	}
	for i, e := range entries {
		all[of[i]] = append(all[of[i]], e)
	}
	out := make(map[string][]*entry.Standing, len(kinds))
	for k, kind := range kinds {
		out[kind] = all[k]
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

// numberFact is a number that an entry charted; nil without one.
func (r *reading) numberFact(e *entry.Standing, field string) *NumberFact {
	if e == nil {
		return nil
	}
	v, _ := e.Number(field)
	return &NumberFact{v, r.source(e)}
}

// wordFact is a word that an entry charted; nil without one.
func (r *reading) wordFact(e *entry.Standing, field string) *WordFact {
	if e == nil {
		return nil
	}
	return &WordFact{e.Text(field), r.source(e)}
}

// inWindow says whether a moment lies after since, up to and including at.
func (r *reading) inWindow(t time.Time) bool { return t.After(r.since) && !t.After(r.at) }

// today is the civil day of the reading.
func (r *reading) today() entry.Date { return entry.DateOf(r.at, r.p.Zone) }

func (r *reading) day(t time.Time) entry.Date { return entry.DateOf(t, r.p.Zone) }
