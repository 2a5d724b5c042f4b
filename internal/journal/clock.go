package journal

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// lately is by how many entries, the newest, the clock that takes them is judged, so a clock
// that took so many is believed: no doubt stands for ever after a silence that was real. It is
// this project's own choice, an hour or more of a full ward.
const lately = 300

// Clock is what the newest entries tell of the clock that took them. The zero one knows of
// none.
type Clock struct {
	Newest time.Time // the newest acceptance that was in no doubt itself; zero: there is none
	InUse  bool      // an infant is admitted after all of them
	taken  []Taken   // lately, in order
}

// Taken is when an entry was accepted.
type Taken struct {
	Infant, Kind string
	Accepted     time.Time
}

// clockOf is the clock of the newest entries, the zero one where they cannot be read. Their
// rows are not proven: nothing but a doubt comes of it.
func clockOf(v View) Clock {
	var all []Taken
	err := v.Latest(lately, func(infant, kind, accepted string) error {
		if t, ok := takenAs(infant, kind, accepted); ok {
			all = append(all, t)
		}
		return nil
	})
	if err != nil {
		return Clock{}
	}
	return clockFrom(all)
}

func takenAs(infant, kind, accepted string) (Taken, bool) {
	at, err := entry.ParseMoment(accepted)
	return Taken{infant, kind, at.Time}, err == nil
}

// After is the clock once further entries were taken: as it is read anew.
func (c Clock) After(more []Taken) Clock {
	all := slices.Concat(c.taken, more)
	return clockFrom(all[max(len(all)-lately, 0):])
}

func clockFrom(all []Taken) Clock {
	c := Clock{taken: all}
	stays, seen := map[string]bool{}, map[string]bool{}
	for _, t := range all { // whose admission is not among them was admitted before
		if !seen[t.Infant] {
			seen[t.Infant] = true
			if t.Infant != "" && t.Kind != "admission" {
				stays[t.Infant] = true
			}
		}
	}
	for _, t := range all {
		if entry.JudgeClock(t.Accepted, c.Newest, len(stays) > 0) == entry.ClockSound {
			c.Newest = t.Accepted
		}
		switch t.Kind {
		case "admission":
			stays[t.Infant] = true
		case "discharge":
			delete(stays, t.Infant)
		}
	}
	c.InUse = len(stays) > 0
	return c
}

// Judge is what is odd about a moment of that clock.
func (c Clock) Judge(now time.Time) entry.ClockState { return entry.JudgeClock(now, c.Newest, c.InUse) }

// Clock is that of the newest entries held.
func (h *Held) Clock() Clock { return clockOf(h.view) }
