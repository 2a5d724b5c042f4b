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

// signedHandover is a handover that moves an infant's window.
type signedHandover struct {
	entry *entry.Standing
	asOf  time.Time
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

// unitReading is what the unit's own entries say.
type unitReading struct {
	*reading
	taken map[string][]*signedHandover // by infant, what was accepted for it
}

func newUnitReading(p *Policy, record *entry.Record, at time.Time) *unitReading {
	u := &unitReading{reading: &reading{p: p, at: at, record: record, all: entry.UpTo(record.Entries, at), own: map[string][]*entry.Standing{}},
		taken: map[string][]*signedHandover{}}
	for _, e := range u.all {
		u.own[e.Kind] = append(u.own[e.Kind], e)
	}
	handovers := map[string]*signedHandover{}
	infants := map[string]map[string]bool{}
	for _, h := range u.own["handover"] {
		if h.Flag("cover") {
			continue
		}
		asOf, _ := h.Moment("asOf")
		handovers[h.ID] = &signedHandover{h, asOf.Time}
		infants[h.ID] = map[string]bool{}
		for _, key := range h.List("infants") {
			infants[h.ID][key.Text] = true
		}
	}
	for _, a := range u.own["acceptance"] {
		of := a.Reference("handover")
		for _, key := range a.List("infants") {
			if infants[of][key.Text] {
				u.taken[key.Text] = append(u.taken[key.Text], handovers[of])
			}
		}
	}
	return u
}
