package handover

import (
	"time"

	"cotline/handover/entry"
)

// Source follows a fact back to its entry.
type Source struct {
	At        time.Time // when it happened
	Charted   time.Time // zero unless it differs from At by more than the clock tolerance
	By        string    // of the correction, where one holds
	Entry     string    // the original's id
	Corrected *Amended
}

// Amended is the correction that holds.
type Amended struct {
	By      string
	Charted time.Time
}

// NumberFact is a charted number and its source.
type NumberFact struct {
	Value entry.Decimal
	Source
}

// WordFact is a charted word and its source.
type WordFact struct {
	Value string
	Source
}
