package handover

import (
	"time"

	"cotline/handover/entry"
)

// Age is by the terms of the American Academy of Pediatrics (Engle 2004): never
// a bare corrected age.
type Age struct {
	Gestation     string // as charted; empty when not
	Postmenstrual string // weeks+days, or completed weeks when About; empty without gestation
	About         bool   // days of gestation are unknown
	DayOfLife     int    // the day of birth is 0
}

// Support is the state of non-invasive support.
type Support struct {
	State     string // on, off, never
	Mode      string // when on
	Since     time.Time
	ModeSince time.Time
	Driver    string
	StoppedAt time.Time // when off
	Reason    string
	Why       string // why on support, as charted last in the spell
	Source           // of the entry that began the mode, or that stopped it
}

// Setting is one set value; a nil Fact is not charted.
type Setting struct {
	Field string
	Fact  *NumberFact
}

// FiO2Window is the set oxygen over the window, within spells.
type FiO2Window struct {
	MinPercent, MaxPercent entry.Decimal
	MeanPercent            Maybe[entry.Decimal] // left out when no time was spent
	Rises                  int
	Throughout             bool                 // on support with FiO2 set, without a break, all the window
	MeanBefore             Maybe[entry.Decimal] // of the window before, which is as long
}

// SpO2Window counts the window's observations against the target then in force.
type SpO2Window struct{ Count, Below, InTarget, Above, NoTarget int }

// Indices are from the latest SpO2 and the values set then ('set CPAP').
type Indices struct {
	SF, Severity, OSI Maybe[entry.Decimal]
	SpO2              entry.Decimal
	Source
}

// Observed is the latest value of one observed field.
type Observed struct {
	Field string
	Value string // a number as charted, or a word
	Word  bool
	Source
}

// Silverman is the Silverman-Andersen sum, of five charted items.
type Silverman struct {
	Total int
	Items [5]int // in the order of SilvermanItems
	Source
}

// Weight with its place on a growth standard.
type Weight struct {
	WeightG entry.Decimal
	Score
	Source
}

// Score is a place on a growth standard: a description, never a verdict.
type Score struct {
	Z, Centile *entry.Decimal
	Standard   string
	NoZ        string // why there is none: unreliable, sex, gestation, age
}

// Episodes counts events in the window and in the 24 hours up to At.
type Episodes struct {
	Window, Day EpisodeCount
	Helped      *Source // the last of the stay that needed help
}

// EpisodeCount counts episodes by sign and by recovery.
type EpisodeCount struct {
	Count       int
	BySign      [3]int // in the order of Signs
	ByRecovered [5]int // in the order of Recoveries
}

// Interface is what is on the face.
type Interface struct {
	Type  string
	Size  Maybe[string]
	Since time.Time
	Fit   *WordFact // sealed, leak, tight, loose: as seen last since it is on
	Clear *WordFact // true, false: the septum free of it
	Source
}

// Rotation between mask and prongs.
type Rotation struct {
	Last      *Rotated // nil before the first, which is no gap
	DueAt     Maybe[time.Time]
	OverdueAt Maybe[time.Time]
	State     string // not-due, due, overdue, deferred, off; empty: no interval
	Until     time.Time
}

// Rotated is one change between mask and prongs, with how long the one before it was
// on: its run, up to when it came off.
type Rotated struct {
	From, To             string
	FromSince, FromUntil time.Time
	Source
}

// SiteHours are the hours that something lay on a site in the last 24.
type SiteHours struct {
	Site  string
	Hours entry.Decimal
}
