package fhir

import (
	"time"

	"cotline/handover/entry"
)

// amending is an entry, and when what it is or amends happened by its first version.
type amending struct {
	*entry.Entry
	from time.Time
}

// another says when a fact last became another than had been told, and why; zero:
// never.
type another struct {
	at  time.Time
	why string
}

// retaken is what an entry took over that became another than had been told.
type retaken struct{ device, site, turn another }
