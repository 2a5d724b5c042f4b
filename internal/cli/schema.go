package cli

import (
	"io"

	"github.com/spf13/cobra"

	"cotline/internal/intake"
)

func (p *Program) schema() *cobra.Command {
	var table bool
	cmd := &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema (draft 2020-12) of an entry, or with --table the kinds and fields for people",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if table {
				_, err := io.WriteString(p.Stdout, intake.SchemaTable())
				return err
			}
			_, err := p.Stdout.Write(intake.Schema())
			return err
		},
	}
	cmd.Flags().BoolVar(&table, "table", false, "print kinds and fields as a table")
	return cmd
}
