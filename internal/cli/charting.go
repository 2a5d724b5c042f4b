package cli

import (
	"context"
	"errors"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/journal"
)

// charting is a record into which a command takes entries, and by which policy.
type charting struct {
	*settings
	journal *journal.Journal // nil: there is no record yet
	policy  *handover.Policy
	puts    bool // the policy is put in force where it is another
}

// charting opens the record if there is one.
func (s *settings) charting(ctx context.Context) (*charting, error) {
	c := &charting{settings: s}
	var err error
	if c.policy, err = s.namedPolicy(); err != nil {
		return nil, err
	}
	c.puts = c.policy != nil
	if !s.thereIs() {
		if !c.puts && s.moved() {
			_, err := s.store(ctx, false)
			return nil, err
		}
		if !c.puts {
			return nil, recordError{s.record, &journal.NoPolicy{Why: "there is no record yet"}}
		}
		return c, nil
	}
	if c.journal, err = s.open(ctx, false); err != nil || c.puts {
		return c, err
	}
	had, err := c.journal.Policies(ctx)
	if err == nil {
		err = had.Err
	}
	if err != nil {
		return nil, errors.Join(recordError{s.record, err}, c.close())
	}
	c.policy = had.Now
	return c, nil
}

func (c *charting) close() error {
	if c.journal == nil {
		return nil
	}
	return c.journal.Store.Close()
}

// making makes the record that is not there yet.
func (c *charting) making(ctx context.Context) (err error) {
	if c.journal == nil {
		c.journal, err = c.open(ctx, true)
	}
	return err
}

// makes makes an offer of what is held, within the transaction that takes it.
type makes = func(*journal.Held) ([]*entry.Entry, error)

// under has an offer made only while the policy that it was read by is in force, or is
// to be put in force.
func (c *charting) under(offer makes) makes {
	return func(held *journal.Held) ([]*entry.Entry, error) {
		if !c.puts && (held.Policy == nil || held.Policy.Hash() != c.policy.Hash()) {
			return nil, wrong{"another policy was put in force meanwhile", "nothing was taken: do it again"}
		}
		return offer(held)
	}
}

// tellPut says which policy was put in force, and what is other in it.
func (c *charting) tellPut(r journal.Receipt) {
	if r.Put == nil {
		return
	}
	c.program.say("the policy of %s is in force in %s from position %d on, SHA-256 %s", c.settings.policy, c.record,
		r.Head.Position-int64(r.Taken)+1, r.Put.Hash()[:12])
	if r.Before != nil {
		for _, l := range changesOf(r.Before, r.Put) {
			c.program.say("policy: %s", l)
		}
	}
}
