package handover

import (
	"slices"

	"cotline/handover/entry"
)

// Ward is what a handover is compiled from.
type Ward struct {
	Entries []*entry.Entry // every entry, in any order, charted stamped
	Policy  *Policy
	// Positions of Entries in a stored record, in their order; nil for a plain file.
	Positions []int64
	// Signed is the journal position that each handover was cut at, by its id.
	Signed map[string]int64
	// Only are the infants to be told of, where it is not all: the others need no
	// entries but those that say who and where they are, and stand in Elsewhere.
	Only []string
}

// tells says whether a handover of the ward tells of an infant.
func (w Ward) tells(infant string) bool { return w.Only == nil || slices.Contains(w.Only, infant) }

// arrivedAfter are the entries, by id, that were written in time for a handover and
// taken only after the position that it was cut at: its sheet could not hold them. A
// plain file has no positions, so there nothing arrives.
func (w Ward) arrivedAfter(signed *entry.Entry) map[string]bool {
	if w.Positions == nil {
		return nil
	}
	cut, ok := w.Signed[signed.ID]
	if !ok {
		if i := slices.IndexFunc(w.Entries, func(e *entry.Entry) bool { return e.ID == signed.ID }); i >= 0 {
			cut = w.Positions[i]
		}
	}
	arrived := map[string]bool{}
	for i, position := range w.Positions {
		if position > cut && !w.Entries[i].Charted.After(signed.Charted.Time) {
			arrived[w.Entries[i].ID] = true
		}
	}
	return arrived
}
