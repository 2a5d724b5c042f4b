package handover

import (
	"crypto/sha256"
	"encoding/hex"
	"slices"
	"time"

	"cotline/handover/entry"
)

// Policy is the unit's: its clock, intervals, limits, names and lists. Local
// policy and the prescriber win over anything computed from it.
type Policy struct {
	Unit           string
	Zone           *time.Location
	Shifts         []Clock
	ClockTolerance time.Duration

	RotationDue, RotationOverdue entry.Every
	SkinDue, SkinOverdue         entry.Every
	HeadSkinDue, HeadSkinOverdue entry.Every
	Head, Observations, Tube     entry.Every
	Circuit, OxygenSensor        entry.Every
	Humidifier, Safety           entry.Every
	Care                         map[string]entry.Every // by word of AllCares

	Rest      time.Duration // off this long, the clocks start afresh
	BreakUpTo time.Duration

	MovedCm        entry.Decimal
	LengthBy       string // freeman-2012 or none
	WeightUpTo     time.Duration
	TargetC        entry.Decimal
	ToleranceC     entry.Decimal
	WarmUp         time.Duration
	SensorPoints   []entry.Decimal // gas, percent
	ToleranceVol   entry.Decimal   // volume percent
	ToleranceOfGas entry.Decimal   // percent of the gas's own percentage

	Indices    []string      // of sf, severity, osi
	NextWithin time.Duration // how far ahead the plan looks
	Doubt      DoubtLimits
	Thresholds []Threshold
	Checks     []string // items of the safety check at the cot; empty: none is asked for
	Cares      []string // the unit's own, beside those of every unit
	Setup      []string
	Alarms     map[string][]string // by word of the alarm's about
	Sizes      map[string][]string // of mask, prongs, cannula; absent: any text
	Bonnets    []BonnetSize        // empty: any text
	Under      map[string][]string // sites by interface type, and any
	Staff      []Staff
	FHIR       FHIRPolicy

	tree    entry.Value       // the policy in force, defaults filled in
	origins map[string]Origin // by path of a leaf
}

// Clock is a local time of day.
type Clock struct{ Hour, Minute int }

// BonnetSize is a size of the unit's own supply; both ends of its range fit.
type BonnetSize struct {
	Name         string
	FromCm, ToCm entry.Decimal
}

// Fits says whether a head circumference lies in the bonnet's range, ends in.
func (b BonnetSize) Fits(cm entry.Decimal) bool {
	return b.FromCm.Cmp(cm) <= 0 && cm.Cmp(b.ToCm) <= 0
}

// Threshold is the unit's own rule, shown as a sentence with its source, never
// as a verdict.
type Threshold struct {
	Name   string
	All    []Condition
	Source string
	First  bool // to be looked at first when it is met
}

// DoubtLimits are how far a reading may lie from the one before it, or from what
// stands beside it, until the person who charted it is asked.
type DoubtLimits struct {
	HeadCm, HeadCmPerWeek entry.Decimal // off the head before: so much, and so much more a week
	HeadZ                 entry.Decimal // z-score, either side, from so much on
	WeightPercent         entry.Decimal // of the weight before
	WeightWithin          time.Duration // no longer before
	BonnetCm              entry.Decimal // between a bonnet's range and the head
	OffSupport            time.Duration // after support stopped
	Twice                 time.Duration // between two observations that are the same
}

// Condition compares the latest value of a field with a number.
type Condition struct {
	Field, Is string // Is: >, >=, <, <=, =
	Value     entry.Decimal
}

// Staff is a person who charts.
type Staff struct{ Key, Name, Role string }

// FHIRPolicy is what the unit and the receiver agreed on.
type FHIRPolicy struct {
	Base         string // canonical base of own codes and profiles
	Patients     string // match, conditional, ours
	Identifiers  map[string]Identifier
	Organization Organization
	Send         []string      // resource types
	Codes        string        // file of the site's further codings
	Left         time.Duration // how long what is over still stands, closed, in a whole export
	Leave        []string      // what is not sent: of indices, cares, narrative
	Test         bool          // every resource carries meta.security HTEST
}

// Identifier is the system of one of mrn, visit, staff, device.
type Identifier struct{ System, Assigner string }

// Organization is the organization.
type Organization struct{ Identifier, Name string }

// Origin is where a value of the policy comes from.
type Origin string

// The origins.
const (
	CommonPractice Origin = "common practice"
	Published      Origin = "published"
	Invented       Origin = "invented"
	UnitPolicy     Origin = "unit"
)

// Bonnet is the unit's size of that name.
func (p *Policy) Bonnet(name string) (BonnetSize, bool) {
	for _, b := range p.Bonnets {
		if b.Name == name {
			return b, true
		}
	}
	return BonnetSize{}, false
}

// AllCares are the cares of every unit, then the unit's own.
func (p *Policy) AllCares() []string { return slices.Concat(entry.Cares, p.Cares) }

// Warnings are what a unit should look at in its policy: a head that lies between
// two bonnets' ranges fits none.
func (p *Policy) Warnings() []string {
	sizes := slices.Clone(p.Bonnets)
	slices.SortStableFunc(sizes, func(a, b BonnetSize) int { return a.FromCm.Cmp(b.FromCm) })
	var out []string
	for i := range sizes {
		if i == 0 {
			continue
		}
		widest := sizes[0]
		for _, b := range sizes[:i] {
			if b.ToCm.Cmp(widest.ToCm) > 0 {
				widest = b
			}
		}
		if widest.ToCm.Cmp(sizes[i].FromCm) < 0 {
			out = append(out, "sizes.bonnet: no bonnet for a head between "+widest.ToCm.String()+" and "+sizes[i].FromCm.String()+" cm ("+
				widest.Name+", "+sizes[i].Name+")")
		}
	}
	return out
}

// Lists are the unit's sizes, steps, items and cares, nil where there is no policy.
func (p *Policy) Lists() *entry.Lists {
	if p == nil {
		return nil
	}
	l := &entry.Lists{Sizes: p.Sizes, Steps: p.Setup, Safety: p.Checks, Cares: p.AllCares()}
	for _, b := range p.Bonnets {
		l.Bonnets = append(l.Bonnets, b.Name)
	}
	return l
}

// LiesUnder says whether a site lies under an interface type.
func (p *Policy) LiesUnder(site, interfaceType string) bool {
	return slices.Contains(p.Under[interfaceType], site)
}

// Canonical is the policy in force as JSON, defaults filled in: it is hashed,
// kept with what was signed under it, and reads back as the same policy.
func (p *Policy) Canonical() []byte { return p.tree.AppendJSON(nil) }

// Hash is the SHA-256 of the canonical policy.
func (p *Policy) Hash() string {
	sum := sha256.Sum256(p.Canonical())
	return hex.EncodeToString(sum[:])
}
