package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"

	"github.com/spf13/cobra"

	"cotline/handover/entry"
	"cotline/internal/intake"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
)

type chartFlags struct {
	mapping, reportTo string
	from              foreign
	initials          bool
}

func (p *Program) chart(s *settings) *cobra.Command {
	var o chartFlags
	cmd := &cobra.Command{
		Use:   "chart FILE...",
		Short: "Take entries into the record (.ndjson, .csv, .xlsx, FHIR .json, an export's folder; - is NDJSON on standard input)",
		Long: `chart takes entries into the record: all of all files, or none. What is held
already is neither an error nor a second entry. Once it says how many were taken,
a power cut loses nothing of them. It prints for each infant, by cot and name, what
was taken. With --policy it puts that policy in force, also without a file.

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
charts name, number, sex and visit of an infant as its Patient has them.

A folder that cotline bundle or cotline ndjson wrote is read by its manifest, its
parts in order; one that is missing, changed or not listed is refused by name.`,
		Args: func(cmd *cobra.Command, args []string) error {
			if s.policy != "" || given(cmd.Flags(), acceptLoss.flag, acceptClock.flag) != "" {
				return nil
			}
			return cobra.MinimumNArgs(1)(cmd, args)
		},
		RunE: func(cmd *cobra.Command, args []string) error {
			besides := []string{acceptClock.flag, "map", "report", "admit", "identify", "initials"}
			for i, a := range []accepting{acceptLoss, acceptClock} {
				if given(cmd.Flags(), a.flag) == "" {
					continue
				}
				if with := given(cmd.Flags(), besides[i:]...); with != "" {
					return wrong{"--" + a.flag + " stands alone", "leave out --" + with}
				}
				return p.runAccept(cmd.Context(), s, args, a, cmd.Flag(a.flag).Value.String(), o.from.by)
			}
			return p.runChart(cmd.Context(), s, args, o)
		},
	}
	cmd.Flags().StringVar(&o.mapping, "map", "", "how the headers of .csv and .xlsx files are read, YAML")
	cmd.Flags().StringVar(&o.reportTo, "report", "", "write every fault to this file: NDJSON, or an R4 OperationOutcome (.json)")
	cmd.Flags().String(acceptLoss.flag, "", "REASON: go on with a record of which entries that were taken are gone; charted "+
		"as a note by --by")
	cmd.Flags().String(acceptClock.flag, "", "REASON: the clock of this machine is right, though it is in doubt; charted as a "+
		"note by --by")
	cmd.Flags().BoolVar(&o.initials, "initials", false, "tell what was taken with infants by the initials of their names")
	o.from.flags(cmd)
	return cmd
}

func (p *Program) runChart(ctx context.Context, s *settings, files []string, o chartFlags) error {
	if s.plain() {
		return wrong{"a .ndjson record is read as it is", "name a record to chart into with --record"}
	}
	c, err := s.charting(ctx)
	if err != nil {
		return err
	}
	return errors.Join(p.chartInto(ctx, c, files, o), c.close())
}

// chartInto takes what the files hold, all or nothing.
func (p *Program) chartInto(ctx context.Context, c *charting, files []string, o chartFlags) error {
	files, err := p.exportParts(ctx, files)
	if err != nil {
		return err
	}
	tables, err := p.tables(ctx, c.policy, files, o.mapping)
	if err != nil {
		return err
	}
	var gathered intake.Resources
	offer, sources, err := p.offered(ctx, files, tables, &gathered)
	if err != nil {
		return err
	}
	resources, err := c.resources(ctx, o.from, &gathered, offer.Entries)
	if err != nil {
		return err
	}
	add(&offer, resources, 0)
	receipt, issues, err := c.take(ctx, offer)
	if err != nil {
		return err
	}
	faults, aside, changed := located(offer.Told(issues), sources), located(offer.Aside, sources), located(offer.Changed, sources)
	p.tellAside(aside)
	if o.reportTo != "" {
		text, err := reportAs(o.reportTo, faults, slices.Concat(changed, aside))
		if err != nil {
			return err
		}
		if err := p.output(o.reportTo, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
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
	c.notedCharted(ctx, "chart", receipt)
	if len(files) > 0 {
		p.tellTaken(c.settings, receipt)
	}
	c.tellPut(receipt)
	if len(files) == 0 && receipt.Put == nil {
		p.say("the policy of %s is in force in %s already", c.settings.policy, c.record)
	}
	left := p.tellChanged(changed)
	if receipt.Taken == 0 {
		return errors.Join(left, p.tellNothing(receipt, offer.Aside))
	}
	return errors.Join(left, c.tellEntries(ctx, receipt.Entries, o.initials))
}

// take charts what is offered, or returns why nothing was.
func (c *charting) take(ctx context.Context, offer intake.Offer) (journal.Receipt, []entry.Issue, error) {
	if c.journal == nil && c.moved() { // the head file of a record that is gone
		_, err := c.store(ctx, false)
		return journal.Receipt{}, nil, err
	}
	// A refused file makes no record where there is none.
	if c.journal == nil || len(offer.Issues) > 0 {
		issues, err := c.judge(ctx, offer)
		if err != nil || len(issues) > 0 {
			return journal.Receipt{}, issues, err
		}
	}
	if err := c.making(ctx); err != nil {
		return journal.Receipt{}, nil, err
	}
	receipt, err := c.append(ctx, journal.Offer(offer.Entries))
	var refused *journal.Refused
	if errors.As(err, &refused) {
		return receipt, refused.Issues, nil
	}
	if err != nil {
		err = recordError{c.record, err}
	}
	return receipt, nil, err
}

// judge says what is wrong with an offer without taking it.
func (c *charting) judge(ctx context.Context, offer intake.Offer) (issues []entry.Issue, err error) {
	against := func(held entry.Holding) {
		_, issues = offer.Judge(held, c.policy, c.policy.ClockTolerance, c.program.Now().In(c.policy.Zone))
	}
	if c.journal == nil {
		against(entry.Nothing)
		return issues, nil
	}
	if err := c.journal.Holding(ctx, against); err != nil {
		return nil, recordError{c.record, err}
	}
	return issues, nil
}

// tellClock tells what is odd about the clock that took entries. It is told until that clock
// is right again, or somebody says that it is right.
func (c *charting) tellClock(r journal.Receipt) {
	if doubt := entry.ClockDoubt(r.Accepted, r.Clock.Sound, r.Clock.InUse); doubt != "" {
		c.program.say("doubt: %s; set it, or, if it is right, say so: cotline chart --accept-clock REASON --by KEY", doubt)
	}
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
