package handover

import (
	"time"

	"cotline/handover/entry"
)

// Attention is one thing that a person must see of an infant.
type Attention struct {
	What  string // of the table in attention.go
	Level string // now: it needs somebody; know: it is to be known
	Text  string // the words of the ward line, the same on every face
	Path  string // the fact it is about
	At    time.Time
	Entry string // empty where none is named
}

// Next is what falls due after the moment of the handover.
type Next struct {
	What, Care string
	Task, Text string
	DueAt      time.Time // zero for a civil day
	OverdueAt  time.Time // zero where it never is
	On         entry.Date
}

// Old is a fact that is older than its own interval.
type Old struct {
	Path string
	At   time.Time
}

// Doubt is what was taken, and is asked about.
type Doubt struct{ Code, Path, Text, Entry string }

// NotComputed is a figure that cannot be had, and what lacks for it.
type NotComputed struct{ Path, Why string }

// HandedOver is the latest handover of the stay, but for one for a break.
type HandedOver struct {
	Entry, By, To string
	AsOf, At      time.Time
	Accepted      *Accepted
}

// Accepted is how an infant was taken over.
type Accepted struct {
	By           string
	At           time.Time
	Entry        string
	Confirmed    []string // nil: not charted
	NotConfirmed []string // of the five, those that applied then
	ReadBack     *bool
	Asked        string // empty: not charted
}
