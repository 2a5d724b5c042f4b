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
	Gas                                                  *Gas        // nil: none in the stay
	Limits                                               []Observed  // alarm limits, the latest of each
	Safety                                               *SafetyCheck
	Told                                                 []Told // of the window
	Conflicts                                            []Conflict
	LookAlikes                                           []LookAlike
}

// who is who an infant is, and where.
func (r *reading) who() *Summary {
	s := &Summary{
		Infant: r.record.Infant, Cot: r.cotEntry().Text("cot"), MRN: r.identity("mrn"),
		Sex: r.identity("sex"), Mother: r.identity("mother"), Visit: r.visit(),
		BirthOrder: r.identity("birthOrder"), Multiples: r.identity("multiples"), Since: r.since,
	}
	if s.MRN == "" {
		s.Temporary = r.identity("temporary")
	}
	if r.restricted() {
		s.Restricted = true
	} else {
		s.Family, s.Given, s.Formerly = r.identity("family"), r.identity("given"), r.formerly()
	}
	return s
}

// summary computes everything about one infant but what needs the whole ward.
func (r *reading) summary() *Summary {
	r.misnamed()
	s := r.who()
	s.Age = r.ageFact()
	s.Support = r.supportFact()
	s.Settings = r.settingsFact()
	s.FiO2, s.SpO2, s.Indices = r.fio2Fact(), r.spo2Fact(), r.indicesFact()
	s.Observations, s.Silverman, s.Episodes = r.observedFact(), r.silvermanFact(), r.episodesFact()
	s.Weight, s.BirthWeight = r.weightFact(), r.birthWeightFact()
	s.Interface, s.Rotation, s.HoursUnder = r.interfaceFact(), r.rotationFact(), r.hoursFact()
	s.Skin = r.skinFact()
	s.Tubes = r.tubesFact()
	s.Head, s.Bonnet = r.headFact(), r.bonnetFact()
	s.Humidifier, s.Setup = r.humidifierFact(), r.setupFact()
	s.Cares, s.Alarms, s.Outlook = r.caresFact(), r.alarmsFact(), r.outlookFact()
	s.Notes, s.Tasks, s.Plans = r.notesFact(), r.tasksFact(), r.plansFact()
	all := r.dues(s)
	s.Due, s.Next = dueFact(all), r.next(all)
	s.Thresholds = r.thresholdsFact(s)
	s.Gas, s.Limits, s.Safety, s.Told = r.gasFact(), r.limitsFact(), r.safetyFact(), r.toldFact()
	s.Old = r.old(s)
	s.Gaps, s.NotComputed = r.gaps(s), r.notComputed(s)
	s.Remarks = r.remarks
	return s
}
