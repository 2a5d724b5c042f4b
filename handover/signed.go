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
	ward     Ward
	later    map[string]bool // what arrived says, once asked for
}

// arrived are the entries that its sheet could not hold, by id.
func (h *signedHandover) arrived() map[string]bool {
	if h.later == nil {
		h.later = h.ward.arrivedAfter(h.entry.Entry)
	}
	return h.later
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
