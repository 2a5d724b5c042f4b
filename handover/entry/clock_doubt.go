package entry

import "time"

// longestSilence is how long a record in use may lie without an entry before the clock
// that takes the next one is doubted.
const longestSilence = 24 * time.Hour

// ClockState is what is odd about the clock that takes entries.
type ClockState int

// States of that clock.
const (
	ClockSound  ClockState = iota
	ClockBehind            // before the newest acceptance
	ClockAhead             // more than a day after it, though an infant is admitted
)

// JudgeClock holds the clock that takes entries to what it took. Sound is the newest
// acceptance that was in no doubt itself, so that a device of another year does not settle
// there; it is zero in a new record. In use is a record of which an infant is admitted.
func JudgeClock(now, sound time.Time, inUse bool) ClockState {
	switch ahead := now.Sub(sound); {
	case sound.IsZero():
		return ClockSound
	case ahead < 0:
		return ClockBehind
	case inUse && ahead > longestSilence:
		return ClockAhead
	}
	return ClockSound
}

// ClockDoubt says in words what is odd about the clock that took entries, and nothing
// where all is well.
func ClockDoubt(accepted, sound time.Time, inUse bool) string {
	at, last := ToSecond(accepted), ToSecond(sound.In(accepted.Location()))
	if at == last { // a fraction apart
		at, last = MomentOf(accepted).Text, MomentOf(sound.In(accepted.Location())).Text
	}
	taken, before := "taken at "+at+" by the clock of this machine, which is ", " ("+last+")"
	switch JudgeClock(accepted, sound, inUse) {
	case ClockBehind:
		return taken + "before the newest entry in no doubt was taken" + before + ": one of the two clocks is off"
	case ClockAhead:
		return taken + "more than a day after the newest entry in no doubt was taken" + before +
			" though an infant is admitted: the clock may be off"
	case ClockSound:
	}
	return ""
}

// ToSecond is a moment as a person reads it off a clock: RFC 3339 without a fraction.
func ToSecond(t time.Time) string { return t.Format("2006-01-02T15:04:05-07:00") }
