package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"cotline/handover"
	"cotline/internal/intake"
	"cotline/internal/journal"
)

func (p *Program) chart(s *settings) *cobra.Command {
	var reportTo string
	cmd := &cobra.Command{
		Use:   "chart FILE...",
		Short: "Take entries into the record (.ndjson; - is standard input)",
		Long: `chart takes entries into the record: all of all files, or none. What is held
already is neither an error nor a second entry. Once it says how many were taken,
a power cut loses nothing of them.`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(cmd *cobra.Command, args []string) error {
			return p.runChart(cmd.Context(), s, args, reportTo)
		},
	}
	cmd.Flags().StringVar(&reportTo, "report", "", "write every fault to this file, NDJSON")
	return cmd
}

func (p *Program) runChart(ctx context.Context, s *settings, files []string, reportTo string) error {
	if s.plain() {
		return wrong{"a .ndjson record is read as it is", "name a record to chart into with --record"}
	}
	policy, err := s.readPolicy()
	if err != nil {
		return err
	}
	offer, sources, err := p.offered(files)
	if err != nil {
		return err
	}
	receipt, issues, err := p.take(ctx, s, policy, offer)
	if err != nil {
		return err
	}
	faults := located(issues, sources)
	if reportTo != "" {
		text, err := report(faults)
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
	p.tellTaken(s, receipt)
	return nil
}

// offered reads the files. Lines are counted on from one file to the next.
func (p *Program) offered(files []string) (all intake.Offer, sources []source, err error) {
	for _, name := range files {
		if name != "-" && !strings.EqualFold(filepath.Ext(name), ".ndjson") {
			return all, nil, wrong{"cannot read entries from " + name, "give a .ndjson file, or - for NDJSON on standard input"}
		}
	}
	for _, name := range files {
		o, err := p.offeredBy(name)
		if err != nil {
			return all, nil, err
		}
		for _, e := range o.Entries {
			e.Line += all.Lines
		}
		for i := range o.Issues {
			o.Issues[i].Line += all.Lines
		}
		all.Entries = append(all.Entries, o.Entries...)
		for _, e := range o.Faulty {
			e.Line += all.Lines
		}
		all.Faulty = append(all.Faulty, o.Faulty...)
		all.Unread += o.Unread
		all.Issues = append(all.Issues, o.Issues...)
		all.Lines += o.Lines
		if name == "-" {
			name = "standard input"
		}
		sources = append(sources, source{name, o.Lines})
	}
	return all, sources, nil
}

func (p *Program) offeredBy(name string) (intake.Offer, error) {
	if name == "-" {
		return intake.NDJSON(p.Stdin)
	}
	f, err := os.Open(name)
	if err != nil {
		return intake.Offer{}, err
	}
	defer f.Close() //nolint:errcheck // it was only read
	o, err := intake.NDJSON(f)
	if err != nil {
		err = fmt.Errorf("%s: %w", name, err)
	}
	return o, err
}

// take charts what is offered, or returns why nothing was.
func (p *Program) take(ctx context.Context, s *settings, policy *handover.Policy, offer intake.Offer) (journal.Receipt, []handover.Issue, error) {
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
	receipt, err := j.Append(ctx, policy, journal.Offer(offer.Entries))
	var refused *journal.Refused
	if errors.As(err, &refused) {
		return receipt, refused.Issues, j.Store.Close()
	}
	if err = errors.Join(err, j.Store.Close()); err != nil {
		err = fmt.Errorf("record %s: %w", s.record, err)
	}
	return receipt, nil, err
}

// judge says what is wrong with an offer without taking it.
func (p *Program) judge(ctx context.Context, s *settings, policy *handover.Policy, offer intake.Offer) ([]handover.Issue, error) {
	var issues []handover.Issue
	against := func(held handover.Holding) {
		_, issues = offer.Judge(held, policy, policy.ClockTolerance, p.Now().In(policy.Zone))
	}
	j, err := s.open(ctx, false)
	var none wrong
	switch {
	case errors.As(err, &none):
		against(handover.Nothing)
	case err != nil:
		return nil, err
	default:
		err := j.Holding(ctx, against)
		if err = errors.Join(err, j.Store.Close()); err != nil {
			return nil, fmt.Errorf("record %s: %w", s.record, err)
		}
	}
	return issues, nil
}

func (p *Program) tellTaken(s *settings, r journal.Receipt) {
	held := ""
	if r.Held > 0 {
		held = fmt.Sprintf(", %d held already", r.Held)
	}
	p.say("%s taken%s; %s ends at position %d, chain %s", plural(r.Taken, "entry"), held, s.record, r.Head.Position, r.Head.Chain.String()[:12])
	const mostNamed = 3 // a file of several days brings many
	if len(r.Signed) > mostNamed {
		p.say("%s are signed on position %d", plural(len(r.Signed), "handover"), r.Head.Position)
		return
	}
	for _, signed := range r.Signed {
		p.say("handover %s is signed on position %d, chain %s", signed.ID, signed.Position, signed.Chain.String()[:12])
	}
}
