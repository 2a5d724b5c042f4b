package web

import (
	"time"

	"cotline/handover/entry"
	"cotline/internal/web/words"
)

// clockOdd says what is odd about the clock that takes entries, and what to do; nothing where
// all is well. Nobody is kept from charting by it.
func (snap *Snapshot) clockOdd(now time.Time) string {
	said := func(t time.Time) string { return t.In(snap.policy.Zone).Format("2 Jan 2006 15:04") }
	by, newest := said(now), said(snap.clock.Newest)
	switch snap.clock.Judge(now) {
	case entry.ClockBehind:
		return words.Say("The server’s clock may be off: it says %s, and the newest entry was taken at %s, which is later.", by, newest) +
			" " + words.Say("Look at the clock of that machine, and call the keeper if it is wrong.") + " " +
			words.Say("You can still chart; note the true time on paper as well.")
	case entry.ClockAhead:
		return words.Say("The server’s clock may be off: it says %s, and the newest entry was taken more than a day before, at %s.",
			by, newest) +
			" " + words.Say("Look at the clock of that machine, and call the keeper if it is wrong.") + " " +
			words.Say("You can still chart; give the true time under “When”.")
	case entry.ClockSound:
	}
	return ""
}
