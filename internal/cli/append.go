package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/journal"
)

// append takes an offer into a record. A signal waits for its transaction to be
// done, and no longer: see Run.
func (p *Program) append(ctx context.Context, j *journal.Journal, policy *handover.Policy, offer makes) (journal.Receipt, error) {
	p.taking.Lock()
	defer p.taking.Unlock()
	if err := ctx.Err(); err != nil {
		return journal.Receipt{}, err
	}
	receipt, err := j.Append(ctx, policy, offer)
	var unproven *journal.Unproven
	if errors.As(err, &unproven) {
		p.say("WARNING: everything was taken, but %s", unproven.Why)
		return receipt, nil
	}
	return receipt, err
}

// append takes an offer while the policy that it was read by rules.
func (c *charting) append(ctx context.Context, offer makes) (journal.Receipt, error) {
	return c.program.append(ctx, c.journal, c.policy, c.under(offer))
}

// longestLoss is more than what is said of a loss.
const longestLoss = 300

// runAcceptLoss goes on with a record of which entries that were taken are gone. A
// note of the unit says so, to be read out.
func (p *Program) runAcceptLoss(ctx context.Context, s *settings, files []string, reason, by string) error {
	if len(files) > 0 {
		return wrong{"a loss is accepted alone", "chart the files after it"}
	}
	if s.policy == "" && s.moved() {
		return recordError{s.record, &journal.NoPolicy{Why: "the file of the record is gone, and its policy with it"}}
	}
	c, err := s.charting(ctx)
	if err != nil {
		return err
	}
	defer func() { c.close() }() // what was appended is durable
	note := func(what string) (*entry.Entry, []entry.Issue) {
		now := entry.MomentOf(p.Now().In(c.policy.Zone))
		e, issues := entry.Decode(entry.Value{Type: entry.ObjectValue, Fields: []entry.Field{
			entry.TextField("id", p.NewID()), entry.TextField("kind", "note"), entry.TextField("at", now.Text), entry.TextField("by", by),
			entry.TextField("text", "Loss accepted: "+what+". Reason: "+reason),
			{Name: "readOut", Value: entry.NewFlag(true)},
		}})
		return &e, issues
	}
	if _, issues := note(strings.Repeat("x", longestLoss)); len(issues) > 0 {
		return wrong{"--accept-loss or --by: " + issues[0].Path + ": " + issues[0].Allowed, "mend it"}
	}
	if c.journal == nil && !s.moved() {
		return s.none()
	}
	if err := c.making(ctx); err != nil {
		return err
	}
	c.journal.AcceptLoss = func(lost *journal.Behind) *entry.Entry {
		e, _ := note(lost.Error())
		return e
	}
	receipt, err := c.append(ctx, func(*journal.Held) ([]*entry.Entry, error) { return nil, nil })
	switch {
	case errors.Is(err, journal.ErrNothingLost):
		return wrong{"nothing that was taken is gone from " + s.record, "leave out --accept-loss"}
	case err != nil:
		return fmt.Errorf("record %s: %w", s.record, err)
	}
	c.notedCharted(ctx, "accept-loss", receipt)
	p.tellTaken(s, receipt)
	c.tellPut(receipt)
	return nil
}
