package cli

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"cotline/internal/page"
	"cotline/internal/sheets"
)

func (p *Program) workbook(s *settings) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "workbook",
		Short: "Write the handover and the entries as a workbook",
		Long: `workbook writes the handover, what is due and the entries as an .xlsx workbook
for the ward clerk.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.runWorkbook(cmd.Context(), s, out) },
	}
	s.reading(cmd, "at", "known", "since", "infant", "cot")
	cmd.Flags().StringVarP(&out, "output", "o", "handover.xlsx", "write to this file")
	return cmd
}

func (p *Program) runWorkbook(ctx context.Context, s *settings, out string) error {
	c, broken := s.compile(ctx)
	if broken != nil && c == nil {
		return broken
	}
	if err := p.output(out, func(w io.Writer) error {
		return sheets.Workbook(w, c.handover, chosen(c), c.ward.Policy, version)
	}); err != nil {
		return err
	}
	return broken
}
