package handover

import (
	"time"

	"cotline/handover/entry"
)

// signedHandover is a handover that is not for a break.
type signedHandover struct {
	entry    *entry.Standing
	asOf     time.Time
	names    map[string]bool   // infants
	accepted []*entry.Standing // acceptances, in order
	// arrived are the entries that its sheet could not hold, by id; read when asked for.
	arrived func() map[string]bool
}

// acceptedFor is the first acceptance that takes an infant over, nil for none.
func (h *signedHandover) acceptedFor(infant string) *entry.Standing {
	for _, a := range h.accepted {
		if h.names[infant] && a.Names("infants", infant) {
			return a
		}
	}
	return nil
}
