package cli

import (
	"cmp"
	"slices"
	"time"

	"cotline/handover/entry"
	"cotline/internal/journal"
)

// clockDoubt says what is odd about the clock that is about to take entries, beside
// what was taken of their infants before; nothing where all is well.
func clockDoubt(held *journal.Held, offered []*entry.Entry, now time.Time) string {
	var taken []journal.Taken
	seen := map[string]bool{}
	for _, e := range offered {
		if e.Infant != "" && !seen[e.Infant] {
			seen[e.Infant] = true
			taken = append(taken, held.Taken(e.Infant)...)
		}
	}
	newest, admitted := newestOf(taken)
	return entry.ClockDoubt(now, newest, admitted)
}

// newestOf is the newest acceptance that was in no doubt itself, and whether an infant
// is admitted after all of them.
func newestOf(taken []journal.Taken) (newest time.Time, admitted bool) {
	slices.SortFunc(taken, func(a, b journal.Taken) int { return cmp.Compare(a.Position, b.Position) })
	stays := map[string]bool{}
	for _, t := range taken {
		if entry.ClockDoubt(t.Accepted, newest, len(stays) > 0) == "" {
			newest = t.Accepted
		}
		switch t.Kind {
		case "admission":
			stays[t.Infant] = true
		case "discharge":
			delete(stays, t.Infant)
		}
	}
	return newest, len(stays) > 0
}
