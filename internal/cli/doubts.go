package cli

import (
	"context"
	"slices"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/journal"
)

// tellDoubts asks about what was taken and may be a slip, a line each: what the handover
// lists among its doubts of these very entries. They are taken all the same.
func (c *charting) tellDoubts(ctx context.Context, taken []*entry.Entry) error {
	ids, infants := map[string]bool{}, []string{}
	now := c.program.Now().In(c.policy.Zone)
	for _, e := range taken {
		ids[e.ID] = true
		if e.Infant != "" && !slices.Contains(infants, e.Infant) {
			infants = append(infants, e.Infant)
		}
	}
	if len(infants) == 0 {
		return nil
	}
	at := now.Add(c.policy.ClockTolerance) // what was taken may lie that far ahead
	r, err := c.journal.ReadAbout(ctx, journal.About{Infants: infants, At: at, Known: at}, c.policy)
	if err != nil {
		return recordError{c.record, err}
	}
	if broken := c.warn(r.Findings); broken != nil {
		return broken
	}
	ward := r.Ward(c.policy)
	ward.Only = infants
	h := handover.Compile(ward, at, at, time.Time{})
	for _, f := range h.Infants {
		for _, d := range f.Doubts {
			if ids[d.Entry] {
				c.program.say("doubt: cot %s: %s; chart a correction if it is a slip (entry %s)", f.Cot, d.Text, d.Entry)
			}
		}
	}
	return nil
}
