package cli

import (
	"io"

	"github.com/spf13/cobra"

	"cotline/internal/page"
	"cotline/internal/sheets"
)

func (p *Program) template(s *settings) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "template",
		Short: "Write a workbook to chart into",
		Long: `template writes an .xlsx workbook to fill in, a sheet a kind of entry, with the
unit's own lists to choose from. cotline chart takes what was filled in.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			policy, _, err := s.ofUnit(cmd)
			if err != nil {
				return err
			}
			return p.output(out, func(w io.Writer) error { return sheets.Template(w, policy, p.NewID, p.Now(), version) })
		},
	}
	cmd.Flags().StringVarP(&out, "output", "o", "template.xlsx", "write to this file")
	return cmd
}
