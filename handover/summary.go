package handover

import (
	"time"

	"cotline/handover/entry"
)

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
	Value entry.Decimal
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
	// Elsewhere are infants of the ward whom a face was not asked for: it tells
	// nothing of them, but names look-alikes and conflicts by them.
	Elsewhere []*Summary
}

// Late is an entry that was written in time but arrived after the handover
// before was signed.
type Late struct {
	Infant, Kind, Entry, By string
	At, Charted             time.Time // At of a correction is that of its entry
}

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
