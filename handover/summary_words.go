package handover

import (
	"time"

	"cotline/handover/entry"
)

// Care is the latest of one care.
type Care struct {
	What, Side, State, Text string
	Amount, Look            string // of suction
	Window                  int    // how many in the window
	Source
}

// Alarm is an alarm in the window.
type Alarm struct {
	About     string
	Tried     []Tried
	Action    string
	SettledAt time.Time
	Source
}

// Tried is a cause looked for.
type Tried struct {
	Cause string
	Found bool
}

// Outlook is charted, never computed.
type Outlook struct {
	Severity string
	IfThen   []IfThen
	CallFor  string
	Source
}

// IfThen is a contingency.
type IfThen struct{ If, Then string }

// Plan is this infant's own interval that is in force.
type Plan struct {
	What, Care, Every, Reason string
	Until                     time.Time
	Source
}

// Due is a thing due, overdue or deferred.
type Due struct {
	What, Care string
	Task, Text string
	At         time.Time // zero for a civil day
	On         entry.Date
	OverdueAt  time.Time // zero where it never is
	State      string    // due, overdue, deferred
	Until      time.Time
	Every      string // the interval it is counted by; empty where none is
	Planned    bool   // the interval is this infant's own plan, not the unit's policy
	Why        string // what it is about; of a deferral, its reason
}

// Change is a fact that differs from what the last nurse was told. From and To
// are nil for null.
type Change struct {
	Path, Why, Entry string
	From, To         *ChangeValue
	Revised          bool // a setting that was not as it was told, as known now: whatever Why is, From and To are no direction
}

// ChangeValue is a value as JSON would write it: a number, true, or a text.
type ChangeValue struct {
	Text string
	Bare bool // a number, true or false
}

// Remark is something in the record that counts for nothing, or is not what it
// was called.
type Remark struct{ Entry, Why string }

// ThresholdFact is one of the unit's own rules against the latest values.
type ThresholdFact struct {
	Name, Text, Source string
	Met                *bool // nil: a value is missing or too old, so that it is not met
	First              bool  // the unit wants it looked at first when it is met
}

// Conflict is something two infants cannot share.
type Conflict struct {
	What, Value string
	Infant      string // the other
}

// LookAlike is an infant who could be mistaken for this one.
type LookAlike struct{ Infant, Why string }
