package handover

import (
	"time"
)

// Handover is the whole ward at one moment.
type Handover struct {
	Unit     string
	Zone     *time.Location
	At       time.Time
	Known    time.Time
	Policy   string // SHA-256 of the policy in force
	Position int64  // of a stored record; 0: a plain file
	Chain    string // head of the hash chain at Position
	// Findings are what is wrong with the record that this was compiled from: every
	// face tells them first. None: the record is sound, or a plain file.
	Findings []string
	Late     []Late
	Left     []Left
	Notes    []Note // of the whole unit, in its window
	Tasks    []Task // of the whole unit, open
	Infants  []*Summary
	// Elsewhere are infants of the ward whom a face was not asked for: it tells
	// nothing of them, but names look-alikes and conflicts by them.
	Elsewhere []*Summary
}

// Late is an entry of before the window that the handover before could not hold.
type Late struct {
	Infant, Kind, Entry, By string
	How                     string // arrived: written in time, taken after it was signed; written: only after it
	At, Charted             time.Time
	Text                    string // what stands of it now
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
	Gaps                                                 []string // JSON paths of what a person could chart
	NotComputed                                          []NotComputed
	Attention                                            []Attention
	Next                                                 []Next
	Old                                                  []Old
	Doubts                                               []Doubt
	HandedOver                                           *HandedOver // nil before the first
	AsCharted
	Conflicts  []Conflict
	LookAlikes []LookAlike
}
