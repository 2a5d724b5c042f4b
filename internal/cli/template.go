package cli

import (
	"io"

	"github.com/spf13/cobra"

	"cotline/handover"
	"cotline/internal/page"
	"cotline/internal/sheets"
)

func (p *Program) template(s *settings) *cobra.Command {
	var out string
	var infants, names bool
	cmd := &cobra.Command{
		Use:   "template",
		Short: "Write a workbook to chart into",
		Long: `template writes an .xlsx workbook to fill in: a sheet of rounds, one infant's
round a row, and behind it a sheet a kind of entry, with the unit's own lists to
choose from. cotline chart takes what was filled in. With --infants the infants
of the record can be chosen, by cot and number; with --names by name too.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if !infants {
				if names {
					return wrong{"--names is of the infants to choose from", "give --infants too"}
				}
				policy, _, err := s.ofUnit(cmd)
				if err != nil {
					return err
				}
				return p.writeTemplate(out, policy, nil)
			}
			c, broken := s.compile(cmd.Context(), true)
			if broken != nil {
				return broken
			}
			s.notedExport("template", c, nil)
			return p.writeTemplate(out, c.ward.Policy, sheets.Choices(c.handover, names))
		},
	}
	s.reading(cmd, "at", "known")
	cmd.Flags().StringVarP(&out, "output", "o", "template.xlsx", "write to this file")
	cmd.Flags().BoolVar(&infants, "infants", false, "list the infants of the record to choose from")
	cmd.Flags().BoolVar(&names, "names", false, "with their names")
	return cmd
}

func (p *Program) writeTemplate(out string, policy *handover.Policy, infants []sheets.Choice) error {
	return p.output(out, func(w io.Writer) error { return sheets.Template(w, policy, infants, p.NewID, p.Now(), version) })
}
