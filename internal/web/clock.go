package web

import (
	"time"

	"cotline/handover/entry"
	"cotline/internal/web/words"
)

// clockOdd says what is odd about the clock that takes entries, and what to do; nothing where
// all is well. Nobody is kept from charting by it.
func (snap *Snapshot) clockOdd(now time.Time) string {
	by, newest := snap.clockSays(now)
	switch snap.clock.Judge(now) {
	case entry.ClockBehind:
		return words.Say("The server’s clock may be off: it says %s, and the newest entry in no doubt was taken at %s, which is later.",
			by, newest) + " " + words.Say("Call the keeper, who sets that clock, or says that it is right.") + " " +
			words.Say("You can still chart; note the true time on paper as well.")
	case entry.ClockAhead:
		return words.Say("The server’s clock may be off: it says %s, and the newest entry in no doubt was taken over a day before, at %s.",
			by, newest) + " " + words.Say("Call the keeper, who sets that clock, or says that it is right.") + " " +
			words.Say("You can still chart; give the true time under “When”.")
	case entry.ClockSound:
	}
	return ""
}

// clockWasOdd says the same on a page that a device keeps, and shows later: the times on it are
// by that clock, and so is what is charted there.
func (snap *Snapshot) clockWasOdd(kept time.Time) string {
	by, newest := snap.clockSays(kept)
	switch snap.clock.Judge(kept) {
	case entry.ClockBehind:
		return words.Say("The server’s clock may have been off when this was kept: it said %s, the newest entry in no doubt of %s, later.",
			by, newest) + " " + words.Say("Times on this page may be wrong.") + " " +
			words.Say("You can still chart; note the true time on paper as well.")
	case entry.ClockAhead:
		return words.Say(
			"The server’s clock may have been off when this was kept: it said %s, over a day after the newest entry in no doubt, of %s.",
			by, newest) + " " + words.Say("Times on this page may be wrong.") + " " +
			words.Say("You can still chart; give the true time under “When”.")
	case entry.ClockSound:
	}
	return ""
}

// clockSays is the clock, and when it took the newest entry in no doubt, in words.
func (snap *Snapshot) clockSays(now time.Time) (by, newest string) {
	said := func(t time.Time) string { return t.In(snap.policy.Zone).Format("2 Jan 2006 15:04") }
	return said(now), said(snap.clock.Sound)
}
