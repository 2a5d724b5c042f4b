package cli

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"cotline/internal/store/sqlite"
)

func (p *Program) verify(s *settings) *cobra.Command {
	return &cobra.Command{
		Use:   "verify",
		Short: "Hold the record to its chain, and signed handovers to what was signed",
		Long: `verify makes every hash of the record anew, names the first place that is not
what was taken, and compiles every signed handover again. What was cut off the
end of a record shows only against a later signed handover, or against paper.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.runVerify(cmd.Context(), s) },
	}
}

func (p *Program) runVerify(ctx context.Context, s *settings) error {
	if s.plain() {
		policy, err := s.withoutRecord()
		if err != nil {
			return err
		}
		r, err := s.readPlain(policy)
		if err != nil {
			return err
		}
		_, err = fmt.Fprintf(p.Stdout, "%s: %s, every line is sound; a plain file has no chain\n", s.record,
			plural(len(r.Entries), "entry"))
		return err
	}
	j, err := s.open(ctx, false)
	if err != nil {
		return err
	}
	defer j.Store.Close() // it was only read
	j.Progress = p.progress("verify")
	r, err := j.Verify(ctx)
	if err != nil {
		return recordError{s.record, err}
	}
	for _, f := range r.Findings {
		if _, err := fmt.Fprintf(p.Stdout, "%s: %s\n", s.record, f); err != nil {
			return err
		}
	}
	for _, remark := range r.Remarks {
		if _, err := fmt.Fprintf(p.Stdout, "%s: %s\n", s.record, remark); err != nil {
			return err
		}
	}
	if r.Unmarked && r.Entries > 0 {
		p.say("%s", s.unmarked())
	}
	if len(r.Findings) > 0 {
		p.say("%s is not what was taken: %s; the first is at the top; cotline restore makes a record of what is whole; hold it "+
			"against paper",
			s.record, plural(len(r.Findings), "finding"))
		return errRefused
	}
	if spoilt := sqlite.SpoiltHead(s.record); spoilt != "" {
		p.say("%s; the other one holds, and the next entry that is charted writes it anew", spoilt)
	}
	_, err = fmt.Fprintf(p.Stdout, "%s: %s, chain %s; %s compiled again, all as signed\n",
		s.record, plural(r.Entries, "entry"), r.Head.Chain, plural(r.Signed, "signed handover"))
	return err
}
