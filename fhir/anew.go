package fhir

import (
	"time"

	"cotline/handover/entry"
)

// amending is an entry, and what it is or amends: of which kind, and when that happened, by
// the earliest of its versions.
type amending struct {
	*entry.Entry
	kind string
	from time.Time
}

// change says when a fact last came to differ from what had been told, and why. The zero
// moment: never.
type change struct {
	at  time.Time
	why string
}

// retaken is what an entry took over from those before it, where that has changed since
// it was told.
type retaken struct{ device, site, turn change }
