package handover

import (
	"time"

	"cotline/handover/entry"
)

// minShift is how long before the reading a shift must have begun to be its own;
// one that ends no longer after the reading hands over to the next.
const minShift = time.Hour

// shiftStart is the start of the latest shift that began at least an hour before
// at. A local start that a clock change skips moves forward by the gap; one that
// it repeats counts the first time.
func (p *Policy) shiftStart(at time.Time) time.Time {
	var start time.Time
	today := entry.DateOf(at, p.Zone)
	for d := -2; d <= 0; d++ {
		for _, s := range p.Shifts {
			t := entry.LocalTime(today.Add(d), s.Hour, s.Minute, p.Zone)
			if !t.After(at.Add(-minShift)) && t.After(start) {
				start = t
			}
		}
	}
	return start
}

// ShiftEnd is when the shift ends that a handover at a moment is read in: the
// first start of a shift more than an hour after it. No paper is kept longer.
func (p *Policy) ShiftEnd(at time.Time) time.Time {
	var end time.Time
	today := entry.DateOf(at, p.Zone)
	for d := 0; d <= 2; d++ {
		for _, s := range p.Shifts {
			t := entry.LocalTime(today.Add(d), s.Hour, s.Minute, p.Zone)
			if t.After(at.Add(minShift)) && (end.IsZero() || t.Before(end)) {
				end = t
			}
		}
	}
	return end
}

// accepted is the handover with the greatest asOf before at that is not cover
// and was accepted for the infant by then; nil for none.
func (u *unitReading) accepted(infant string, stay *entry.Stay, at time.Time) *signedHandover {
	var best *signedHandover
	for _, h := range u.taken[infant] {
		if stay.Holds(h.entry) && h.asOf.Before(at) && (best == nil || h.asOf.After(best.asOf)) {
			best = h
		}
	}
	return best
}

// startWindow starts an infant's window at since or, where that is zero, at the handover
// that was accepted for it last, else at the start of the shift.
func (r *reading) startWindow(unit *unitReading, since time.Time) {
	r.since = unit.since
	if !since.IsZero() {
		return
	}
	if r.from = unit.accepted(r.record.Infant, r.stay, r.at); r.from != nil {
		r.since = r.from.asOf
	}
}

// unitReading is what the unit's own entries say.
type unitReading struct {
	*reading
	signed []*signedHandover            // in order
	taken  map[string][]*signedHandover // by infant, what was accepted for it
}

func newUnitReading(w Ward, record *entry.Record, at time.Time) *unitReading {
	p := w.Policy
	all := entry.UpTo(record.Entries, at)
	u := &unitReading{reading: &reading{p: p, at: at, record: record, all: all, own: byKind(all)}, taken: map[string][]*signedHandover{}}
	handovers := map[string]*signedHandover{}
	for _, h := range u.own["handover"] {
		if h.Flag("cover") {
			continue
		}
		asOf, _ := h.Moment("asOf")
		signed := &signedHandover{entry: h, asOf: asOf.Time, names: map[string]bool{}, ward: w}
		for _, key := range h.List("infants") {
			signed.names[key.Text] = true
		}
		handovers[h.ID] = signed
		u.signed = append(u.signed, signed)
	}
	for _, a := range u.own["acceptance"] {
		of := handovers[a.Reference("handover")]
		if of == nil {
			continue
		}
		of.accepted = append(of.accepted, a)
		for _, key := range a.List("infants") {
			if of.names[key.Text] {
				u.taken[key.Text] = append(u.taken[key.Text], of)
			}
		}
	}
	return u
}
