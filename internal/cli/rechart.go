package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/journal"
	"cotline/internal/page"
)

// move is what rechart is asked for.
type move struct {
	from, to, since, until string
	reason, by             string
	swap, yes              bool
	initials               bool // of names, where infants are told
}

func (p *Program) rechart(s *settings) *cobra.Command {
	var m move
	cmd := &cobra.Command{
		Use:   "rechart --from A --to B --since T --until T --reason TEXT --by KEY",
		Short: "Move entries to the infant they belong to (the wrong twin)",
		Long: `rechart tells who the two infants are, lists the entries of one that happened
between two moments, both included, with what they say, asks, then retracts each and
charts it anew on the other infant, all or none. With --swap the entries of the other
move back the same way. Admissions stay where they are. A corrected entry moves as it
stands.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.runRechart(cmd.Context(), s, m) },
	}
	f := cmd.Flags()
	f.StringVar(&m.from, "from", "", "the infant they were charted on")
	f.StringVar(&m.to, "to", "", "the infant they belong to")
	f.StringVar(&m.since, "since", "", "from this moment on, RFC 3339 with an offset")
	f.StringVar(&m.until, "until", "", "up to this moment")
	f.StringVar(&m.reason, "reason", "", "why, for the record")
	f.StringVar(&m.by, "by", "", "the staff key of who moves them")
	f.BoolVar(&m.swap, "swap", false, "move the other infant's entries back too")
	f.BoolVar(&m.yes, "yes", false, "do not ask")
	f.BoolVar(&m.initials, "initials", false, "infants by the initials of their names")
	for _, name := range []string{"from", "to", "since", "until", "reason", "by"} {
		if err := cmd.MarkFlagRequired(name); err != nil {
			panic(err) // a flag of this very list
		}
	}
	return cmd
}

// errChanged says that what was confirmed is no longer what there is.
var errChanged = errors.New("the record changed meanwhile")

// asked is the move that the flags ask for.
func (m move) asked() (journal.Move, error) {
	out := journal.Move{From: m.from, To: m.to, Swap: m.swap, Reason: m.reason, By: m.by}
	var err error
	if out.Since, err = moment("since", m.since); err != nil {
		return out, err
	}
	if out.Until, err = moment("until", m.until); err != nil {
		return out, err
	}
	if out.Until.Before(out.Since) {
		return out, wrong{"--until is before --since", "give a later one"}
	}
	if m.from == m.to {
		return out, wrong{"--from and --to are one infant", "give the other"}
	}
	return out, nil
}

func (p *Program) runRechart(ctx context.Context, s *settings, m move) error {
	asked, err := m.asked()
	if err != nil {
		return err
	}
	if s.plain() {
		return wrong{"a .ndjson record is read as it is", "name a stored record with --record"}
	}
	c, err := s.moving(ctx)
	if err != nil {
		return err
	}
	defer func() { c.close() }() // a transaction is durable before this
	var found []journal.Moving
	var of map[string]*entry.Record
	if err := c.journal.Holding(ctx, func(h entry.Holding) {
		found = asked.Find(h)
		of = map[string]*entry.Record{m.from: journal.RecordOf(h, m.from), m.to: journal.RecordOf(h, m.to)}
	}); err != nil {
		return recordError{s.record, err}
	}
	for _, flag := range []struct{ name, key string }{{"from", m.from}, {"to", m.to}} {
		if of[flag.key] == nil {
			p.say("--%s names no infant of %s; nothing was moved: cotline handover --format json tells every infant's key [%s]", flag.name,
				s.record, entry.CodeNotAdmitted)
			return errRefused
		}
	}
	if len(found) == 0 {
		p.say("nothing to move: no entry of --from happened then")
		return nil
	}
	if err := p.list(c.policy, m, of, found); err != nil {
		return err
	}
	if !m.yes {
		if err := p.confirm(ctx, len(found)); err != nil {
			return err
		}
	}
	receipt, err := c.append(ctx, func(held *journal.Held) ([]*entry.Entry, error) {
		if !slices.EqualFunc(found, asked.Find(held), journal.Moving.Same) {
			return nil, errChanged
		}
		return p.moved(found, asked)
	})
	if err != nil {
		return p.notMoved(s, err, len(found))
	}
	c.notedCharted(ctx, "rechart", receipt)
	p.say("%s moved", plural(len(found), "entry"))
	p.tellTaken(s, receipt)
	return nil
}

// notMoved tells why nothing of a list was moved.
func (p *Program) notMoved(s *settings, err error, listed int) error {
	var refused *journal.Refused
	switch {
	case errors.As(err, &refused):
		p.tell(located(refused.Issues, []source{{name: "list", lines: 2 * listed}}))
		p.say("nothing was moved: %s, by number of the list", plural(len(refused.Issues), "fault"))
		return errRefused
	case errors.Is(err, errChanged):
		return wrong{err.Error(), "nothing was moved: look at the list again"}
	}
	return recordError{s.record, err}
}

// moving opens the record by its own policy: only what is charted puts another in force.
func (s *settings) moving(ctx context.Context) (*charting, error) {
	own := *s
	own.policy = ""
	if !s.thereIs() {
		return nil, s.none()
	}
	c, err := own.charting(ctx)
	if err != nil {
		return nil, err
	}
	named, err := s.namedPolicy()
	if err != nil {
		return nil, errors.Join(err, c.close())
	}
	if named != nil && named.Hash() != c.policy.Hash() {
		s.program.say("%s is not the policy in force in %s, by which entries are moved", s.policy, s.record)
	}
	return c, nil
}

// list shows who the infants are, and what would move, in words.
func (p *Program) list(policy *handover.Policy, m move, of map[string]*entry.Record, found []journal.Moving) error {
	now := p.Now().In(policy.Zone)
	tell, cots := map[string]*handover.Telling{}, map[string]string{}
	table := tabwriter.NewWriter(p.Stdout, 0, 8, 2, ' ', 0)
	for _, row := range []struct{ what, key string }{{"from", m.from}, {"to", m.to}} { // told by Flush
		t := handover.Tell(policy, of[row.key], now)
		if tell[row.key] = t; t == nil {
			fmt.Fprintf(table, "%s\t%s\tnot admitted yet\n", row.what, row.key)
			cots[row.key] = row.key
			continue
		}
		who := t.Called()
		cot, name, number := page.Called(who, m.initials)
		if who.Left {
			number += ", has left"
		}
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\t%s\n", row.what, row.key, cot, name, number)
		cots[row.key] = cot
	}
	if err := table.Flush(); err != nil {
		return err
	}
	fmt.Fprintln(table) // told by Flush
	for i, e := range found {
		said := e.Kind
		if t := tell[e.Infant]; t != nil {
			said = t.Said(e.Standing)
		}
		fmt.Fprintf(table, "%d\t%s -> %s\t%s\t%s\tby %s\t%s\n", i+1, cots[e.Infant], cots[e.To], entry.Stamp(e.At.Time, policy.Zone),
			said, e.By, e.ID)
	}
	return table.Flush()
}

func (p *Program) confirm(ctx context.Context, n int) error {
	if !p.Asks {
		return wrong{"nobody can be asked here", "look at the list, then say --yes"}
	}
	fmt.Fprintf(p.Stderr, "Move %s? Type yes: ", plural(n, "entry")) // nowhere is left to tell it
	answer, err := bufio.NewReader(io.LimitReader(&stoppable{ctx: ctx, r: p.Stdin}, 64)).ReadString('\n')
	if strings.TrimSpace(answer) == "yes" {
		return nil
	}
	if err != nil {
		fmt.Fprintln(p.Stderr) // nowhere is left to tell it
	}
	return wrong{"not confirmed", "nothing was moved"}
}

// moved are the retractions and the entries charted anew.
func (p *Program) moved(found []journal.Moving, m journal.Move) ([]*entry.Entry, error) {
	out, issues := m.Entries(found, p.NewID, p.Now())
	if len(issues) > 0 {
		return nil, wrong{"--" + issues[0].Path + ": " + issues[0].Allowed, "mend it"}
	}
	return out, nil
}
