package handover

import (
	"time"

	"cotline/handover/entry"
)

// Series is one infant's window over time: what a strip on a clock axis draws.
// Every stretch is half-open, [From, To), but that one which ends at At has At
// in it: with From and To the same it began at that very moment.
type Series struct {
	Infant, Cot, MRN, Temporary string // no name: who looks at a strip has the page round it
	Since, At                   time.Time
	Zone                        *time.Location
	Clocks                      []ClockChange
	Support                     []Bar    // by mode; break and off between; nothing before the first
	FiO2, Pressure              []Step   // set values, within spells; a pressure in the modes that have one
	Target                      []Target // of SpO2, within spells
	SpO2                        []Saturation
	Interface                   []Bar // by type and size, off too
	Rotations                   []Rotated
	Skin                        []SkinSeen
	Episodes                    []EpisodeSeen
	Alarms                      []Alarm
}

// ClockChange is a moment of the window at which the unit's clock is put
// forward or back.
type ClockChange struct {
	At     time.Time
	Before time.Duration // east of Greenwich
	After  time.Duration
}

// Bar is something that lasted: a mode, break or off; an interface and its size.
type Bar struct {
	From, To   time.Time
	What, Size string
	Entry      string // began it
}

// Step is a set value in force.
type Step struct {
	From, To time.Time
	Value    *entry.Decimal // nil: it applies, and nobody charted it
	Entry    string
}

// Saturation is one reading of SpO2, held against the target then in force.
type Saturation struct {
	Value   entry.Decimal
	Against string // below, in-target, above, no-target
	Within  bool   // a spell: others are not counted
	Source
}

// SkinSeen is one skin check.
type SkinSeen struct {
	Sites []SiteSeen // in the order charted
	Worst string     // finding, by the sorting order
	Source
}

// SiteSeen is what one check found at a site.
type SiteSeen struct{ Site, Finding string }

// EpisodeSeen is one episode.
type EpisodeSeen struct {
	Signs     []string
	Recovered string
	Lowest    *entry.Decimal // SpO2, percent
	Source
}
