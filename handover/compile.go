package handover

import (
	"maps"
	"slices"
	"time"

	"cotline/handover/entry"
)

// Compile makes the handover of every infant admitted at a moment, from what
// had been written down by known. Since, when not zero, starts every window.
// The result is the single source of every face; it depends on nothing else.
func Compile(w Ward, at, known, since time.Time) *Handover {
	p := w.Policy
	byInfant := writtenBy(w.Entries, latestOf(latestOf(known, at), since))
	unit := newUnitReading(w, entry.Replay(byInfant[""], known).Unit, at)
	if unit.since = since; since.IsZero() {
		unit.since = p.shiftStart(at)
	}
	h := &Handover{Unit: p.Unit, Zone: p.Zone, At: at, Known: known, Policy: p.Hash(), Late: []Late{}, Left: []Left{}}
	var readings, elsewhere []*reading
	for _, key := range slices.Sorted(maps.Keys(byInfant)) {
		if key == "" {
			continue
		}
		record := entry.Replay(byInfant[key], known).Of(key)
		stays := record.Stays(at)
		if len(stays) == 0 {
			continue
		}
		stay := stays[len(stays)-1]
		r := newReading(p, record, stay, at)
		r.startWindow(unit, since)
		if stay.Discharge != nil {
			if w.tells(key) && r.inWindow(stay.Discharge.At.Time) {
				h.Left = append(h.Left, r.left())
			}
			continue
		}
		if !w.tells(key) {
			elsewhere = append(elsewhere, r)
			continue
		}
		s := r.summary()
		r.compare(s, byInfant[key], known)
		s.HandedOver = r.handedOver(unit)
		s.Doubts = r.doubts(unit)
		h.Infants = append(h.Infants, s)
		readings = append(readings, r)
	}
	h.Notes, h.Tasks = unit.notesFact(), unit.tasksFact()
	together(h, readings, elsewhere)
	ward := map[string]*Summary{}
	for _, s := range slices.Concat(h.Infants, h.Elsewhere) {
		ward[s.Infant] = s
	}
	slices.SortStableFunc(readings, func(a, b *reading) int { return byCot(ward[a.record.Infant].Cot, ward[b.record.Infant].Cot) })
	slices.SortStableFunc(h.Infants, func(a, b *Summary) int { return byCot(a.Cot, b.Cot) })
	for i, s := range h.Infants {
		late := readings[i].lates()
		h.Late = append(h.Late, late...)
		s.Attention = readings[i].attention(s, unit, len(late), ward)
	}
	slices.SortStableFunc(h.Left, func(a, b Left) int { return byCot(a.Cot, b.Cot) })
	return h
}

// writtenBy are the entries of each infant that were written down by a moment. Those that
// stand together stay where they are: nobody changes them.
func writtenBy(entries []*entry.Entry, moment time.Time) map[string][]*entry.Entry {
	all := map[string]*[]*entry.Entry{}
	for from, to := 0, 0; from < len(entries); from = max(to, from+1) {
		infant := entries[from].Infant
		for to = from; to < len(entries) && entries[to].Infant == infant && !entries[to].Charted.After(moment); {
			to++
		}
		if from == to { // written later
			continue
		}
		if of := all[infant]; of == nil {
			all[infant] = new(entries[from:to:to])
		} else {
			*of = append(*of, entries[from:to]...)
		}
	}
	out := make(map[string][]*entry.Entry, len(all))
	for key, of := range all {
		out[key] = *of
	}
	return out
}

// toldBy is by when the last nurse had been told: the start of the window or, if
// later, when the handover that it comes from was charted.
func (r *reading) toldBy() time.Time {
	if r.from == nil {
		return r.since
	}
	return latestOf(r.since, r.from.entry.Charted.Time)
}

// untold says which entries the last nurse was not told of: charted later, or in time
// and arrived after the handover was cut.
func (r *reading) untold() func(*entry.Entry) bool {
	by := r.toldBy()
	var arrived map[string]bool
	if r.from != nil {
		arrived = r.from.arrived()
	}
	return func(e *entry.Entry) bool { return e.Charted.After(by) || arrived[e.ID] }
}

// compare tells what changed since the window began.
func (r *reading) compare(s *Summary, entries []*entry.Entry, known time.Time) {
	s.Changes = []Change{}
	untold := r.untold()
	amended := slices.ContainsFunc(entries, func(e *entry.Entry) bool { return e.Amends() && untold(e) && !e.Charted.After(known) })
	before := r.before(entries, untold, amended || r.toldBy().After(known))
	stay := before.Admitted(r.since)
	if stay == nil {
		s.New = true
		return
	}
	then := newReading(r.p, before, stay, r.since)
	then.since = r.since
	was := then.comparable(then.comparedPart())
	s.Changes = r.changesOf(r.comparable(s), was, before, amended, untold)
}

// before is the record as the last nurse was told of it. Where nothing was corrected or
// withdrawn since, it is the record without what was not told; else it is replayed.
func (r *reading) before(entries []*entry.Entry, untold func(*entry.Entry) bool, otherwise bool) *entry.Record {
	if otherwise {
		told := slices.DeleteFunc(slices.Clone(entries), untold)
		return entry.Replay(told, r.toldBy()).Of(r.record.Infant)
	}
	out := &entry.Record{Infant: r.record.Infant, Entries: make([]*entry.Standing, 0, len(r.record.Entries))}
	for _, e := range r.record.Entries {
		if !untold(e.Entry) {
			out.Entries = append(out.Entries, e)
		}
	}
	for _, e := range r.record.Withdrawn {
		if !untold(e) {
			out.Withdrawn = append(out.Withdrawn, e)
		}
	}
	return out
}
