package cli

import (
	"fmt"
	"io"
	"strings"
	"text/tabwriter"

	"github.com/spf13/cobra"

	"cotline/handover"
	"cotline/internal/intake"
	"cotline/internal/page"
)

func (p *Program) policyCommand(s *settings) *cobra.Command {
	var format string
	cmd := &cobra.Command{
		Use:   "policy",
		Short: "Print the policy in force: every value, where it comes from and why",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			policy, err := s.readPolicy()
			if err != nil {
				return err
			}
			switch format {
			case "text":
				return p.printPolicy(policy)
			case "json":
				_, err := fmt.Fprintf(p.Stdout, "%s\n", policy.Canonical())
				return err
			}
			return wrong{"--format " + format, "give text or json"}
		},
	}
	cmd.Flags().StringVar(&format, "format", "text", "text, or json as it is kept and hashed")
	return cmd
}

func (p *Program) printPolicy(policy *handover.Policy) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n", page.Caution)
	table := tabwriter.NewWriter(&b, 0, 8, 2, ' ', 0)
	for _, l := range policy.Lines() {
		value, origin, why := l.Value, string(l.Origin), l.Why
		if value == "" {
			value, origin = "not set", "-"
		}
		if why != "" {
			why = " (" + why + ")"
		}
		fmt.Fprintf(table, "%s\t%s\t%s%s\n", l.Path, origin, value, why) // in memory
	}
	table.Flush() // in memory
	fmt.Fprintf(&b, "\nSHA-256 %s\n", policy.Hash())
	_, err := io.WriteString(p.Stdout, b.String())
	return err
}

func (p *Program) schema() *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "Print the JSON Schema (draft 2020-12) of an entry",
		Args:  cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			_, err := p.Stdout.Write(intake.Schema())
			return err
		},
	}
}
