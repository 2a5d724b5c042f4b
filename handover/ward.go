package handover

import (
	"slices"

	"cotline/handover/entry"
)

// Ward is what a handover is compiled from.
type Ward struct {
	Entries []*entry.Entry // every entry, in any order, charted stamped
	Policy  *Policy
	// Positions of entries in a stored record, by id; nil for a plain file.
	Positions map[string]int64
	// Signed is the journal position that each handover was cut at, by its id.
	Signed map[string]int64
	// Only are the infants to be told of, where it is not all: the others need no
	// entries but those that say who and where they are, and stand in Elsewhere.
	Only []string
}

// tells says whether a handover of the ward tells of an infant.
func (w Ward) tells(infant string) bool { return w.Only == nil || slices.Contains(w.Only, infant) }

// arrivedAfter says which entries were written in time for a handover and taken only
// after the position that it was cut at: its sheet could not hold them. A plain file has
// no positions, so there nothing arrives.
func (w Ward) arrivedAfter(signed *entry.Entry) func(*entry.Entry) bool {
	cut, ok := w.Signed[signed.ID]
	if !ok {
		cut = w.Positions[signed.ID]
	}
	return func(e *entry.Entry) bool {
		return len(w.Positions) > 0 && !e.Charted.After(signed.Charted.Time) && w.Positions[e.ID] > cut
	}
}
