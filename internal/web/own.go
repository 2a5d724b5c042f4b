package web

import (
	"time"

	"cotline/handover/entry"
)

// own are the infants who are with whoever asks, by key in the order of cots: those whom
// she took over, and those on whom she charted within the time that a session lasts and
// whom nobody took over after that. Nobody is asked to say it twice.
func (h *handingOver) own() (out []string) {
	who, began := h.r.who.Name, h.now.Add(-h.Access.Limits.Absolute)
	for _, f := range h.snap.handover.Infants {
		with, since := h.all.withSince(f.Infant)
		charted := h.snap.infants[f.Infant].charted[who]
		if with == who || charted.After(since) && !charted.Before(began) {
			out = append(out, f.Infant)
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
