package handover

import "time"

// Ward is what a handover is compiled from.
type Ward struct {
	Entries []*Entry // every entry, in any order, charted stamped
	Policy  *Policy
	// Positions of entries in a stored record, by id; nil for a plain file.
	Positions map[string]int64
	// Signed is the journal position that each handover was cut at, by its id.
	Signed map[string]int64
}

// Compile makes the handover of every infant admitted at a moment, from what
// had been written down by known. Since, when not zero, starts every window.
// The result is the single source of every face; it depends on nothing else.
func Compile(w Ward, at, known, since time.Time) *Handover {
	panic("not yet")
}
