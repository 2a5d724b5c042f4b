package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"time"

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

// append takes an offer while the policy that it was read by rules, and tells what is odd about
// the clock that took it.
func (c *charting) append(ctx context.Context, offer makes) (journal.Receipt, error) {
	receipt, err := c.program.append(ctx, c.journal, c.policy, c.under(offer))
	if err == nil && receipt.Taken > 0 && c.journal.AcceptClock == nil {
		c.tellClock(receipt)
	}
	return receipt, err
}

// longestAccepted is more than what is said of a loss or of a clock.
const longestAccepted = 300

// accepting is what somebody accepts of a record, alone and with a reason. A note of the
// unit says so, to be read out.
type accepting struct {
	flag string
	said string // begins the note
	gone bool   // the file of the record may be gone, and only its head file be there
	set  func(j *journal.Journal, note noteAt)
	none error  // there is nothing to accept
	why  string // with the record's name
}

// noteAt makes the note of a moment.
type noteAt = func(at time.Time, what string) *entry.Entry

var acceptLoss = accepting{flag: "accept-loss", said: "Loss accepted", gone: true,
	set: func(j *journal.Journal, note noteAt) {
		j.AcceptLoss = func(lost *journal.Behind) *entry.Entry { return note(j.Now(), lost.Error()) }
	},
	none: journal.ErrNothingLost, why: "nothing that was taken is gone from %s"}

var acceptClock = accepting{flag: "accept-clock", said: "Clock found right",
	set: func(j *journal.Journal, note noteAt) {
		j.AcceptClock = func(c journal.Clock, now time.Time) *entry.Entry {
			return note(now, "this machine says "+entry.ToSecond(now)+", and the newest entry in no doubt was taken at "+
				entry.ToSecond(c.Sound.In(now.Location())))
		}
	},
	none: journal.ErrClockSound, why: "by %s the clock of this machine is in no doubt"}

// runAccept goes on with a record in spite of what is accepted.
func (p *Program) runAccept(ctx context.Context, s *settings, files []string, a accepting, reason, by string) error {
	if strings.TrimSpace(reason) == "" || by == "" {
		return wrong{"--" + a.flag + " wants a reason, and --by who accepts it", "give both"}
	}
	if len(files) > 0 {
		return wrong{"--" + a.flag + " stands alone", "chart the files after it"}
	}
	if !s.thereIs() && !(a.gone && s.moved()) {
		_, err := s.store(ctx, false)
		return err
	}
	if s.policy == "" && s.moved() {
		return recordError{s.record, &journal.NoPolicy{Why: "the file of the record is gone, and its policy with it"}}
	}
	c, err := s.charting(ctx)
	if err != nil {
		return err
	}
	defer func() { c.close() }() // what was appended is durable
	note := func(at time.Time, what string) (*entry.Entry, []entry.Issue) {
		e, issues := entry.Decode(entry.Value{Type: entry.ObjectValue, Fields: []entry.Field{
			entry.TextField("id", p.NewID()), entry.TextField("kind", "note"),
			entry.TextField("at", entry.Stamp(at, c.policy.Zone)), entry.TextField("by", by),
			entry.TextField("text", a.said+": "+what+". Reason: "+reason),
			{Name: "readOut", Value: entry.NewFlag(true)},
		}})
		return &e, issues
	}
	if _, issues := note(p.Now(), strings.Repeat("x", longestAccepted)); len(issues) > 0 {
		return wrong{"--" + a.flag + " or --by: " + issues[0].Path + ": " + issues[0].Allowed, "mend it"}
	}
	if err := c.making(ctx); err != nil {
		return err
	}
	a.set(c.journal, func(at time.Time, what string) *entry.Entry {
		e, _ := note(at, what)
		return e
	})
	receipt, err := c.append(ctx, func(*journal.Held) ([]*entry.Entry, error) { return nil, nil })
	switch {
	case errors.Is(err, a.none):
		return wrong{fmt.Sprintf(a.why, s.record), "leave out --" + a.flag}
	case err != nil:
		return fmt.Errorf("record %s: %w", s.record, err)
	}
	c.notedCharted(ctx, a.flag, receipt)
	p.tellTaken(s, receipt)
	c.tellPut(receipt)
	return nil
}
