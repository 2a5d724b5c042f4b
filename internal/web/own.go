package web

import (
	"time"

	"cotline/handover/entry"
)

// hers are the infants of whoever asks, by key: those whom she took over and nobody took
// over since, and those whom she charted in this shift, unless somebody took one over
// after that.
func (h *handingOver) hers() map[string]bool {
	out := map[string]bool{}
	who, began := h.r.who.Name, h.policy.ShiftStart(h.now)
	for _, f := range h.snap.handover.Infants {
		with, since := h.all.withSince(f.Infant)
		charted := h.snap.infants[f.Infant].charted[who]
		if with == who || charted.After(since) && !charted.Before(began) {
			out[f.Infant] = true
		}
	}
	return out
}

// chartedBy is when each person charted last, of the latest two days.
func chartedBy(x *entries, at time.Time) map[string]time.Time {
	out := map[string]time.Time{}
	for _, all := range [][]*entry.Entry{x.who, x.care} {
		for _, e := range all {
			if at.Sub(e.Charted.Time) < 48*time.Hour && e.Charted.After(out[e.By]) {
				out[e.By] = e.Charted.Time
			}
		}
	}
	return out
}
