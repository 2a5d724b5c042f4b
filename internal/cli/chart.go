package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/intake"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
)

func (p *Program) chart(s *settings) *cobra.Command {
	var reportTo, mapping, loss string
	var from foreign
	cmd := &cobra.Command{
		Use:   "chart FILE...",
		Short: "Take entries into the record (.ndjson, .csv, .xlsx, FHIR .json; - is NDJSON on standard input)",
		Long: `chart takes entries into the record: all of all files, or none. What is held
already is neither an error nor a second entry. Once it says how many were taken,
a power cut loses nothing of them.

A .csv or .xlsx file has an entry a row and a column a field, headed by the
field's name (cotline schema), one of them id; cotline template makes one to fill.
A date cell, or a time without offset, is of the unit's time zone. --map reads
other headers:

  columns: {Weighed: at, "Weight (g)": weightG, Row: id, Key: infant}
  fixed: {kind: weight, by: rn-1}
  ignore: [Scale]
  sheet: Night weights
  source: scales of the bay

With a source, id may hold the rows' own numbers instead of UUIDs.

Of FHIR R4 bundles (.json), or of resources one a line, it takes what a record
like this one exported, entry by entry. Of what others observed it takes, under
the staff key of --by, heart and respiratory rate, SpO2, axillary temperature, head
and weight of infants whose hospital number it knows, what the sender corrected or
withdrew as a correction or retraction, and lists the rest. A Patient admits nobody
and renames nobody by itself: --admit admits the one who is not known, --identify
charts name, number, sex and visit of an infant as its Patient has them.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if loss != "" {
				return nil
			}
			return cobra.MinimumNArgs(1)(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			if given(cmd.Flags(), "accept-loss") != "" {
				if strings.TrimSpace(loss) == "" || from.by == "" {
					return wrong{"--accept-loss wants a reason, and --by who accepts it", "give both"}
				}
				return p.runAcceptLoss(cmd.Context(), s, args, loss, from.by)
			}
			return p.runChart(cmd.Context(), s, args, mapping, reportTo, from)
		},
	}
	cmd.Flags().StringVar(&mapping, "map", "", "how the headers of .csv and .xlsx files are read, YAML")
	cmd.Flags().StringVar(&reportTo, "report", "", "write every fault to this file: NDJSON, or an R4 OperationOutcome (.json)")
	cmd.Flags().StringVar(&loss, "accept-loss", "", "REASON: go on with a record of which entries that were taken are gone; charted "+
		"as a note by --by")
	from.flags(cmd)
	return cmd
}

func (p *Program) runChart(ctx context.Context, s *settings, files []string, mapping, reportTo string, from foreign) error {
	if s.plain() {
		return wrong{"a .ndjson record is read as it is", "name a record to chart into with --record"}
	}
	policy, err := s.readPolicy()
	if err != nil {
		return err
	}
	tables, err := p.tables(ctx, policy, files, mapping)
	if err != nil {
		return err
	}
	var gathered intake.Resources
	offer, sources, err := p.offered(ctx, files, tables, &gathered)
	if err != nil {
		return err
	}
	resources, err := s.resources(ctx, policy, from, &gathered, offer.Entries)
	if err != nil {
		return err
	}
	add(&offer, resources, 0)
	receipt, issues, err := p.take(ctx, s, policy, offer)
	if err != nil {
		return err
	}
	faults, aside := located(issues, sources), located(offer.Aside, sources)
	p.tellAside(aside)
	if reportTo != "" {
		text, err := reportAs(reportTo, faults, aside)
		if err != nil {
			return err
		}
		if err := p.output(reportTo, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
			return err
		}
	}
	if len(faults) > 0 {
		p.tell(faults)
		p.say("nothing was taken: %s; mend them and chart again", counted(faults))
		return errRefused
	}
	for _, note := range offer.Notes {
		p.say("%s", note)
	}
	p.tellTaken(s, receipt)
	if receipt.Taken == 0 {
		return nil
	}
	return p.tellDoubts(ctx, s, policy, offer.Entries)
}

// take charts what is offered, or returns why nothing was.
func (p *Program) take(ctx context.Context, s *settings, policy *handover.Policy, offer intake.Offer) (journal.Receipt, []entry.Issue,
	error) {
	if s.moved() { // the head file of a record that is gone
		_, err := s.store(ctx, false)
		return journal.Receipt{}, nil, err
	}
	// A refused file makes no record where there is none.
	if _, err := os.Stat(s.record); errors.Is(err, fs.ErrNotExist) || len(offer.Issues) > 0 {
		issues, err := p.judge(ctx, s, policy, offer)
		if err != nil || len(issues) > 0 {
			return journal.Receipt{}, issues, err
		}
	}
	j, err := s.open(ctx, true)
	if err != nil {
		return journal.Receipt{}, nil, err
	}
	doubt, err := clockDoubt(ctx, j, offer.Entries, p.Now().In(policy.Zone))
	if err != nil {
		return journal.Receipt{}, nil, errors.Join(recordError{s.record, err}, j.Store.Close())
	}
	receipt, err := p.append(ctx, j, policy, journal.Offer(offer.Entries))
	if err == nil && receipt.Taken > 0 && doubt != "" {
		p.say("doubt: %s", doubt)
	}
	var refused *journal.Refused
	if errors.As(err, &refused) {
		return receipt, refused.Issues, j.Store.Close()
	}
	if err = errors.Join(err, j.Store.Close()); err != nil {
		err = recordError{s.record, err}
	}
	return receipt, nil, err
}

// judge says what is wrong with an offer without taking it.
func (p *Program) judge(ctx context.Context, s *settings, policy *handover.Policy, offer intake.Offer) ([]entry.Issue, error) {
	var issues []entry.Issue
	against := func(held entry.Holding) {
		_, issues = offer.Judge(held, policy, policy.ClockTolerance, p.Now().In(policy.Zone))
	}
	j, err := s.open(ctx, false)
	var none wrong
	switch {
	case errors.As(err, &none):
		against(entry.Nothing)
	case err != nil:
		return nil, err
	default:
		err := j.Holding(ctx, against)
		if err = errors.Join(err, j.Store.Close()); err != nil {
			return nil, recordError{s.record, err}
		}
	}
	return issues, nil
}

func (p *Program) tellTaken(s *settings, r journal.Receipt) {
	if r.Unmarked {
		p.say("there was no %s, so whether earlier entries were lost could not be told; it is made", sqlite.HeadOf(s.record))
	}
	held := ""
	if r.Held > 0 {
		held = fmt.Sprintf(", %d held already", r.Held)
	}
	p.say("%s taken%s; %s ends at position %d, chain %s", plural(r.Taken, "entry"), held, s.record, r.Head.Position,
		r.Head.Chain.String()[:12])
	const mostNamed = 3 // a file of several days brings many
	if len(r.Signed) > mostNamed {
		p.say("%s are signed on position %d", plural(len(r.Signed), "handover"), r.Head.Position)
		return
	}
	for _, signed := range r.Signed {
		p.say("handover %s is signed on position %d, chain %s", signed.ID, signed.Position, signed.Chain.String()[:12])
	}
}
