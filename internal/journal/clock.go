package journal

import (
	"errors"
	"time"

	"cotline/handover/entry"
)

// Clock is what is known of the clock that takes entries. The zero one is of a new journal.
type Clock struct {
	// Sound is the newest acceptance that was in no doubt itself, or by which somebody
	// found the clock right.
	Sound time.Time
	InUse bool // an infant is admitted
}

// ErrClockSound refuses to find a clock right that is in no doubt.
var ErrClockSound = errors.New("the clock is in no doubt")

// Judge is what is odd about a moment of that clock.
func (c Clock) Judge(now time.Time) entry.ClockState { return entry.JudgeClock(now, c.Sound, c.InUse) }

// clock is that of the journal whose index it is.
func (s *stored) clock() (Clock, error) {
	here, _, err := s.item("here/open")
	if err != nil {
		return Clock{}, err
	}
	c := Clock{Sound: s.top.sound, InUse: here > 0}
	if c.Sound.IsZero() {
		c.Sound, err = takenLast(s.view)
	}
	return c, err
}

// takenLast is when the last row was accepted. A top of before knows no more of the clock,
// and of a journal that is damaged nothing else is read of it; only a doubt comes of it.
func takenLast(v View) (time.Time, error) {
	head, err := v.Head()
	if err != nil || head.Position == 0 {
		return time.Time{}, err
	}
	row, _, err := v.At(head.Position)
	if err != nil {
		return time.Time{}, err
	}
	at, _ := entry.ParseMoment(row.Accepted)
	return at.Time, nil
}
