package cli

import (
	"cmp"
	"context"
	"slices"
	"time"

	"cotline/handover/entry"
	"cotline/internal/journal"
)

// clockDoubt says what is odd about the clock that is about to take entries, beside
// what was taken of their infants before; nothing where all is well.
func clockDoubt(ctx context.Context, j *journal.Journal, offered []*entry.Entry, now time.Time) (doubt string, err error) {
	err = j.Store.Read(ctx, j.Unit, func(v journal.View) error {
		var rows []journal.Row
		seen := map[string]bool{}
		for _, e := range offered {
			if e.Infant == "" || seen[e.Infant] {
				continue
			}
			seen[e.Infant] = true
			of, err := journal.InfantRows(v, e.Infant)
			if err != nil {
				return err
			}
			rows = append(rows, of...)
		}
		newest, admitted := newestOf(rows)
		doubt = entry.ClockDoubt(now, newest, admitted)
		return nil
	})
	return doubt, err
}

// newestOf is the newest acceptance that was in no doubt itself, and whether an infant
// is admitted after all of them.
func newestOf(rows []journal.Row) (newest time.Time, admitted bool) {
	slices.SortFunc(rows, func(a, b journal.Row) int { return cmp.Compare(a.Position, b.Position) })
	stays := map[string]bool{}
	for _, r := range rows {
		accepted, err := entry.ParseMoment(r.Accepted)
		if err == nil && entry.ClockDoubt(accepted.Time, newest, len(stays) > 0) == "" {
			newest = accepted.Time
		}
		switch r.Kind {
		case "admission":
			stays[r.Infant] = true
		case "discharge":
			delete(stays, r.Infant)
		}
	}
	return newest, len(stays) > 0
}
