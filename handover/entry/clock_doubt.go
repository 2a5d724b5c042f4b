package entry

import "time"

// longestSilence is how long a record in use may lie without an entry before the clock
// that takes the next one is doubted.
const longestSilence = 24 * time.Hour

// ClockDoubt says in words what is odd about the clock that takes entries, and nothing
// where all is well. Newest is the newest acceptance that was in no doubt itself, so
// that a device of another year does not settle there; it is zero in a new record. In
// use is a record of which an infant is admitted.
func ClockDoubt(accepted, newest time.Time, inUse bool) string {
	switch ahead := accepted.Sub(newest); {
	case newest.IsZero():
		return ""
	case ahead < 0:
		return "taken at " + MomentOf(accepted).Text + " by the clock of this machine, which is before the newest entry was taken (" +
			MomentOf(newest.In(accepted.Location())).Text + "): one of the two clocks is off"
	case inUse && ahead > longestSilence:
		return "taken at " + MomentOf(accepted).Text + " by the clock of this machine, which is more than a day after the newest entry " +
			"was taken (" + MomentOf(newest.In(accepted.Location())).Text + ") though an infant is admitted: the clock may be off"
	}
	return ""
}
