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
func (p *Program) tellDoubts(ctx context.Context, s *settings, policy *handover.Policy, taken []*entry.Entry) error {
	ids, infants := map[string]bool{}, []string{}
	now := p.Now().In(policy.Zone)
	for _, e := range taken {
		ids[e.ID] = true
		if e.Infant != "" && !slices.Contains(infants, e.Infant) {
			infants = append(infants, e.Infant)
		}
	}
	if len(infants) == 0 {
		return nil
	}
	at := now.Add(policy.ClockTolerance) // what was taken may lie that far ahead
	r, err := s.readAbout(ctx, policy, journal.About{Infants: infants, At: at, Known: at})
	if err != nil {
		return err
	}
	ward := r.Ward(policy)
	ward.Only = infants
	h := handover.Compile(ward, at, at, time.Time{})
	for _, f := range h.Infants {
		for _, d := range f.Doubts {
			if ids[d.Entry] {
				p.say("doubt: cot %s: %s; chart a correction if it is a slip (entry %s)", f.Cot, d.Text, d.Entry)
			}
		}
	}
	return nil
}
