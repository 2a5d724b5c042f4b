package web

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// own are the infants who are with whoever asks, by key in the order of cots: those whom
// she took over, and those on whom she charted within the time that a session lasts and
// whom nobody took over after that. Nobody is asked to say it twice.
func (h *handingOver) own() (out []string) {
	since := h.now.Add(-h.Access.Limits.Absolute)
	for _, f := range h.snap.handover.Infants {
		taken, x := h.all.taken(f.Infant), h.snap.infants[f.Infant].entries
		if taken != nil && taken.By == h.r.who.Name || h.charted(x.care, since, taken) || h.charted(x.who, since, taken) {
			out = append(out, f.Infant)
		}
	}
	return out
}

// charted says whether whoever asks charted any of some entries since a moment, and after
// somebody took over. They stand in the order in which they were taken, so it is found from
// their end.
func (h *handingOver) charted(all []*entry.Entry, since time.Time, taken *entry.Standing) bool {
	for _, e := range slices.Backward(all) {
		if e.Charted.Before(since) || taken != nil && !e.Charted.After(taken.Charted.Time) {
			return false
		}
		if e.By == h.r.who.Name {
			return true
		}
	}
	return false
}

// tookOver are the infants whom whoever asks took over last, by key: those whom she hands
// on. Who charted once for a colleague signs for none of them unless she says so.
func (h *handingOver) tookOver() (out []string) {
	for _, f := range h.snap.handover.Infants {
		if h.all.with(f.Infant) == h.r.who.Name {
			out = append(out, f.Infant)
		}
	}
	return out
}
