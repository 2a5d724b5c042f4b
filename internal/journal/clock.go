package journal

import (
	"time"

	"cotline/handover/entry"
)

// lately is by how many entries, the newest, the clock that takes them is judged, so a clock
// that took so many is believed: no doubt stands for ever after a silence that was real. It is
// this project's own choice, an hour or more of a full ward.
const lately = 300

// Clock is what entries tell of the clock that took them, in the order in which they were
// taken. The zero one knows of none.
type Clock struct {
	Newest time.Time // the newest acceptance that was in no doubt itself; zero: there is none
	InUse  bool      // an infant is admitted after all of them
	stays  map[string]bool
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
	c := Clock{stays: map[string]bool{}}
	seen := map[string]bool{}
	for _, t := range all { // whose admission is not among them was admitted before
		if !seen[t.Infant] {
			seen[t.Infant] = true
			if t.Infant != "" && t.Kind != "admission" {
				c.stays[t.Infant], c.InUse = true, true
			}
		}
	}
	for _, t := range all {
		c.Take(t)
	}
	return c
}

func takenAs(infant, kind, accepted string) (Taken, bool) {
	at, err := entry.ParseMoment(accepted)
	return Taken{infant, kind, at.Time}, err == nil
}

// Take tells it of the next entry.
func (c *Clock) Take(t Taken) {
	if c.Judge(t.Accepted) == entry.ClockSound {
		c.Newest = t.Accepted
	}
	switch t.Kind {
	case "admission":
		if c.stays == nil {
			c.stays = map[string]bool{}
		}
		c.stays[t.Infant] = true
	case "discharge":
		delete(c.stays, t.Infant)
	}
	c.InUse = len(c.stays) > 0
}

// Judge is what is odd about a moment of that clock.
func (c Clock) Judge(now time.Time) entry.ClockState { return entry.JudgeClock(now, c.Newest, c.InUse) }

// Clock is that of the newest entries held.
func (h *Held) Clock() Clock { return clockOf(h.view) }
