package handover

import (
	"time"

	"cotline/handover/entry"
)

// Skin is the latest finding of each site, and what is due.
type Skin struct {
	Worst    *SkinSite // nil: nothing seen in the stay
	Checked  *Source   // the latest check
	Sites    []SkinSite
	Unseen   Maybe[[]string]
	DueAt    Maybe[time.Time] // left out when no site falls due
	Overdue  Maybe[time.Time]
	DueSites []string
	State    string
	Until    time.Time // of the deferral
}

// SkinSite is a site's latest finding.
type SkinSite struct {
	Site, Finding string
	Also          []string
	UnderBarrier  Maybe[bool]
	Action, Note  string
	Change        string // new, worse, better, same, other; empty: nothing seen before, intact now
	Source
}

// Tube is a gastric tube that is in.
type Tube struct {
	Use, Route       string
	SizeFr           Maybe[entry.Decimal]
	MarkCm           entry.Decimal
	ReferenceMarkCm  entry.Decimal
	ReferenceAt      time.Time
	Moved            bool
	CheckedAt        time.Time
	PH               *NumberFact
	Aspirate         *WordFact
	AspirateMl       *NumberFact
	AspirateLook     *WordFact
	XRay             *Source // seen there
	EstimateCm       Maybe[entry.Decimal]
	EstimateBy       string
	EstimateWeightAt time.Time
	Source           // of the latest mark
}

// Head is the latest circumference and its growth.
type Head struct {
	CircumferenceCm entry.Decimal
	Unreliable      string
	Score
	Growth *Growth
	Source
}

// Growth is from the newest reliable reading at least 5 civil days before.
type Growth struct {
	CmPerWeek   entry.Decimal
	From        NumberFact
	WithinError bool // the change is under 1.11 cm, the error of two readings
}

// Bonnet is the bonnet on, and when head and bonnet are to be looked at.
type Bonnet struct {
	Size      Maybe[string]
	Since     time.Time  // zero without a size
	DueOn     entry.Date // zero: no reason
	Reason    string
	Reasons   []Reason // by day, then as ranked
	State     string
	Until     time.Time
	CheckFrom entry.Date // P(head ≥ upper end) reaches 0.1
	Latest    entry.Date // 0.9
	Fits      Maybe[bool]
	Source
}

// Reason is why a bonnet is due, and from which entry.
type Reason struct {
	Reason string
	On     entry.Date
	Entry  string
}

// Humidifier is the heated chamber and its water.
type Humidifier struct {
	State          Maybe[string] // off, warming, in-tolerance, out-of-tolerance
	ChamberC       *NumberFact
	InTolerance    Maybe[bool]
	ReadyBeforeUse Maybe[bool]
	Charted        bool   // anything was, in the stay
	Water          string // the latest word of the entries that the state goes by
	WaterSeen      Source // of that word
	WaterEmptyAt   Maybe[time.Time]
	Source         // of the temperature shown
}

// Setup is what was checked when the circuit was set up.
type Setup struct {
	Calibrated   Maybe[bool]
	Points       []SensorPoint
	Unread       []entry.Decimal // the policy's points that were not read
	SealHeld     Maybe[bool]
	Seal         Source          // the latest check of the seal of this circuit
	NotDone      []string        // steps ticked last as not done
	NotCharted   Maybe[[]string] // steps never ticked; left out where none ever was
	Ticked       bool            // any step was
	CircuitDueOn Maybe[entry.Date]
	ProbeCaution Maybe[bool] // left out when nothing was charted around the infant
}

// SensorPoint is one reading of the oxygen sensor check.
type SensorPoint struct {
	GasPercent, ReadPercent entry.Decimal
	OK                      bool
	HumidPercent            *entry.Decimal // of a point that failed low: what a sound sensor reads of that gas when it is saturated
	Source
}

// on says whether anything was charted of it, and that it is not off.
func (f *Humidifier) on() bool { return f.Charted && f.State.orZero() != "off" }
