package cli

import (
	"fmt"

	"github.com/spf13/cobra"
)

// mostIDs is more than a shift charts by hand.
const mostIDs = 10_000

func (p *Program) id() *cobra.Command {
	n := 1
	cmd := &cobra.Command{
		Use:   "id",
		Short: "Print fresh ids for entries that are written by hand",
		Long:  "id prints random UUIDs (RFC 9562, version 4), a line each.",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if n < 1 || n > mostIDs {
				return wrong{fmt.Sprintf("-n %d", n), fmt.Sprintf("ask for 1 to %d", mostIDs)}
			}
			for range n {
				if _, err := fmt.Fprintln(p.Stdout, p.NewID()); err != nil {
					return err
				}
			}
			return nil
		},
	}
	cmd.Flags().IntVarP(&n, "number", "n", 1, "how many")
	return cmd
}
