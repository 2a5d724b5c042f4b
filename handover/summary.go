package handover

import "time"

// Maybe keeps three states apart: charted (Applies, Value set), not charted
// (Applies, Value nil: null in JSON, and a gap) and not applicable (Applies
// false: left out). Why says why a figure that would apply is left out.
type Maybe[T any] struct {
	Applies bool
	Value   *T
	Why     string
}

func known[T any](v T) Maybe[T]          { return Maybe[T]{Applies: true, Value: &v} }
func notCharted[T any]() Maybe[T]        { return Maybe[T]{Applies: true} }
func leftOut[T any](why string) Maybe[T] { return Maybe[T]{Why: why} }
func (m Maybe[T]) gap() bool             { return m.Applies && m.Value == nil }
func knownIf[T any](v T, ok bool) Maybe[T] {
	if !ok {
		return notCharted[T]()
	}
	return known(v)
}

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
	Value Decimal
	Source
}

// WordFact is a charted word and its source.
type WordFact struct {
	Value string
	Source
}

// Handover is the whole ward at one moment.
type Handover struct {
	Unit     string
	Zone     *time.Location
	At       time.Time
	Known    time.Time
	Policy   string // SHA-256 of the policy in force
	Position int64  // of a stored record; 0: a plain file
	Chain    string // head of the hash chain at Position
	Late     []Late
	Left     []Left
	Notes    []Note // of the whole unit, in its window
	Tasks    []Task // of the whole unit, open
	Infants  []*Summary
}

// Late is an entry that was written in time but arrived after the handover
// before was signed.
type Late struct{ Infant, Entry string }

// Left is an infant who left in the window.
type Left struct {
	Infant, Cot, MRN, Temporary, Family, Given string
	Restricted                                 bool
	To, Place                                  string
	Source
}

// Note is a note in the window.
type Note struct {
	Text    string
	ReadOut bool
	Source
}

// Task is a task that is not done.
type Task struct {
	ID    string
	Text  string
	DueAt time.Time // zero: no time was given
	Source
}

// Summary is one infant's part of the handover.
type Summary struct {
	Infant, Cot, MRN, Temporary, Family, Given, Formerly string
	Restricted                                           bool // no name of this infant is shown anywhere
	Sex, Mother, Visit                                   string
	BirthOrder, Multiples                                string
	Since                                                time.Time // start of the window
	New                                                  bool      // not on the ward at Since
	Age                                                  Age
	Support                                              Support
	Settings                                             []Setting // those that apply, in the record's order
	FiO2                                                 Maybe[FiO2Window]
	SpO2                                                 Maybe[SpO2Window]
	Indices                                              Maybe[Indices]
	Observations                                         []Observed // the latest of each field
	Silverman                                            Maybe[Silverman]
	Weight                                               Maybe[Weight] // latest
	BirthWeight                                          Maybe[Weight]
	Episodes                                             Episodes
	Interface                                            Maybe[Interface]
	Rotation                                             Maybe[Rotation]
	HoursUnder                                           Maybe[[]SiteHours]
	Skin                                                 Skin
	Tubes                                                Maybe[[]Tube]
	Head                                                 Maybe[Head]
	Bonnet                                               Maybe[Bonnet]
	Humidifier                                           Maybe[Humidifier]
	Setup                                                Maybe[Setup]
	Cares                                                []Care
	Alarms                                               []Alarm
	Outlook                                              Maybe[Outlook]
	Notes                                                []Note
	Tasks                                                []Task
	Plans                                                []Plan
	Due                                                  []Due
	Changes                                              []Change
	Remarks                                              []Remark
	Thresholds                                           []ThresholdFact
	Gaps                                                 []string // JSON paths
	Conflicts                                            []Conflict
	LookAlikes                                           []LookAlike
}

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
	Source    // of the entry that began the mode, or that stopped it
}

// Setting is one set value; a nil Fact is not charted.
type Setting struct {
	Field string
	Fact  *NumberFact
}

// FiO2Window is the set oxygen over the window, within spells.
type FiO2Window struct {
	MinPercent, MaxPercent Decimal
	MeanPercent            Maybe[Decimal] // left out when no time was spent
	Rises                  int
}

// SpO2Window counts the window's observations against the target then in force.
type SpO2Window struct{ Count, Below, InTarget, Above, NoTarget int }

// Indices are from the latest SpO2 and the values set then ('set CPAP').
type Indices struct {
	SF, Severity, OSI Maybe[Decimal]
	SpO2              Decimal
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
	Items [5]int // chest, intercostal, xiphoid, nares, grunt
	Source
}

// Weight with its place on a growth standard.
type Weight struct {
	WeightG Decimal
	Score
	Source
}

// Score is a place on a growth standard: a description, never a verdict.
type Score struct {
	Z, Centile *Decimal
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

// Rotated is one change between mask and prongs.
type Rotated struct {
	From, To string
	Source
}

// SiteHours are the hours that something lay on a site in the last 24.
type SiteHours struct {
	Site  string
	Hours Decimal
}

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
	SizeFr           Maybe[Decimal]
	MarkCm           Decimal
	ReferenceMarkCm  Decimal
	ReferenceAt      time.Time
	Moved            bool
	CheckedAt        time.Time
	PH               *NumberFact
	Aspirate         *WordFact
	EstimateCm       Maybe[Decimal]
	EstimateBy       string
	EstimateWeightAt time.Time
	Source           // of the latest mark
}

// Head is the latest circumference and its growth.
type Head struct {
	CircumferenceCm Decimal
	Unreliable      string
	Score
	Growth *Growth
	Source
}

// Growth is from the newest reliable reading at least 5 civil days before.
type Growth struct {
	CmPerWeek   Decimal
	From        NumberFact
	WithinError bool // the change is under 1.11 cm, the error of two readings
}

// Bonnet is the bonnet on, and when head and bonnet are to be looked at.
type Bonnet struct {
	Size      Maybe[string]
	Since     time.Time // zero without a size
	DueOn     Date      // zero: no reason
	Reason    string
	Reasons   []Reason // by day, then as ranked
	State     string
	Until     time.Time
	CheckFrom Date // P(head ≥ upper end) reaches 0.1
	Latest    Date // 0.9
	Fits      Maybe[bool]
	Source
}

// Reason is why a bonnet is due, and from which entry.
type Reason struct {
	Reason string
	On     Date
	Entry  string
}

// Humidifier is the heated chamber and its water.
type Humidifier struct {
	State          Maybe[string] // off, warming, in-tolerance, out-of-tolerance
	ChamberC       *NumberFact
	InTolerance    Maybe[bool]
	ReadyBeforeUse Maybe[bool]
	Water          string // the latest word charted
	WaterEmptyAt   Maybe[time.Time]
	Source         // of the temperature shown
}

// Setup is what was checked when the circuit was set up.
type Setup struct {
	Calibrated   Maybe[bool]
	Points       []SensorPoint
	SealHeld     Maybe[bool]
	NotDone      []string
	CircuitDueOn Maybe[Date]
	ProbeCaution Maybe[bool] // left out when nothing was charted around the infant
}

// SensorPoint is one reading of the oxygen sensor check.
type SensorPoint struct {
	GasPercent, ReadPercent Decimal
	OK                      bool
	Source
}

// Care is the latest of one care.
type Care struct {
	What, Side, State, Text string
	Window                  int // how many in the window
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
	On         Date
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
	Met                *bool // nil: a value is missing or too old
}

// Conflict is something two infants cannot share.
type Conflict struct {
	What, Value string
	Infant      string // the other
}

// LookAlike is an infant who could be mistaken for this one.
type LookAlike struct{ Infant, Why string }
