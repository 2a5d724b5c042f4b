package handover

import (
	"slices"
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

// Target is the SpO2 target in force. In air there is no upper bound.
type Target struct {
	From, To  time.Time
	Low, High *entry.Decimal
	Air       bool
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

// SeriesOf is the window of one infant of a compiled handover, read from the
// same entries; false for an infant who is not in it.
func SeriesOf(w Ward, h *Handover, infant string) (Series, bool) {
	r, f, ok := readAgain(w, h, infant)
	if !ok {
		return Series{}, false
	}
	s := Series{Infant: infant, Cot: f.Cot, MRN: f.MRN, Temporary: f.Temporary, Since: r.since, At: r.at, Zone: r.p.Zone}
	s.Clocks = clockChanges(r.since, r.at, r.p.Zone)
	s.Support = r.supportBars()
	s.FiO2, s.Pressure = r.setSteps("fio2Percent"), r.setSteps("pressureCmH2O")
	s.Target, s.SpO2 = r.targets(), r.saturations()
	s.Interface, s.Rotations = r.interfaceBars(), r.rotations()
	s.Skin, s.Episodes, s.Alarms = r.skinSeen(), r.episodesSeen(), r.alarmsFact()
	return s, true
}

// readAgain is the reading that an infant's summary was computed from.
func readAgain(w Ward, h *Handover, infant string) (*reading, *Summary, bool) {
	i := slices.IndexFunc(h.Infants, func(f *Summary) bool { return f.Infant == infant })
	if i < 0 {
		return nil, nil, false
	}
	var entries []*entry.Entry
	for _, e := range w.Entries {
		if e.Infant == infant {
			entries = append(entries, e)
		}
	}
	record := entry.Replay(entries, h.Known).Of(infant)
	stay := record.Admitted(h.At)
	if stay == nil {
		return nil, nil, false
	}
	r := newReading(w.Policy, record, stay, h.At)
	r.since = h.Infants[i].Since
	return r, h.Infants[i], true
}

// clockChanges are the moments after since, up to at, at which a zone's offset
// changes.
func clockChanges(since, at time.Time, zone *time.Location) []ClockChange {
	var out []ClockChange
	for t := since; ; {
		_, end := t.In(zone).ZoneBounds()
		if end.IsZero() || end.After(at) {
			return out
		}
		_, before := t.In(zone).Zone()
		_, after := end.In(zone).Zone()
		if before != after && end.After(since) {
			out = append(out, ClockChange{end, time.Duration(before) * time.Second, time.Duration(after) * time.Second})
		}
		t = end
	}
}
