package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/intake"
	"cotline/internal/journal"
	"cotline/internal/page"
)

func (p *Program) policyCommand(s *settings) *cobra.Command {
	var format string
	var example bool
	cmd := &cobra.Command{
		Use:   "policy",
		Short: "Print the policy in force: every value, where it comes from and why",
		Long: `policy prints the policy that is in force in a record, and what was in force in it
since when; with --policy, that of a file. --example prints a commented one to begin
with: cotline policy --example > unit.yaml`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if example {
				if name := given(cmd.Flags(), "format", "policy", "record"); name != "" {
					return wrong{"--example is the same for everybody, so --" + name + " means nothing", "leave one of the two out"}
				}
				_, err := p.Stdout.Write(intake.ExamplePolicy)
				return err
			}
			if format != "text" && format != "json" {
				return unfit("format", format, "give text or json")
			}
			policy, had, err := s.ofUnit(cmd)
			if err != nil {
				return err
			}
			if format == "json" {
				_, err := fmt.Fprintf(p.Stdout, "%s\n", policy.Canonical())
				return err
			}
			broken := s.warn(had.Findings)
			return errors.Join(p.printPolicy(policy, s.history(had)), broken)
		},
	}
	cmd.Flags().StringVar(&format, "format", "text", "text, or json as it is kept and hashed")
	cmd.Flags().BoolVar(&example, "example", false, "print a commented policy to begin with")
	return cmd
}

// history tells what was put in force since when, each with what was other in it.
func (s *settings) history(had journal.Policies) string {
	if len(had.InForce) == 0 {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "In force in %s, one after the other:\n", s.record)
	var before *handover.Policy
	for i, f := range had.InForce {
		since := "a moment that got lost"
		if m, err := entry.ParseMoment(f.Accepted); err == nil {
			since = m.Truncate(time.Second).Format(time.RFC3339)
		}
		fmt.Fprintf(&b, "  since %s, from position %d on: SHA-256 %s\n", since, f.From, f.Policy[:12])
		now := had.Each[f.Policy]
		switch {
		case now == nil:
			b.WriteString("      it cannot be read\n")
		case before != nil:
			for _, l := range changesOf(before, now) {
				fmt.Fprintf(&b, "      %s\n", l)
			}
		case i > 0:
			b.WriteString("      what is other in it cannot be told\n")
		}
		before = now
	}
	return b.String() + "\n"
}

func (p *Program) printPolicy(policy *handover.Policy, history string) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\n%s", page.Caution, history)
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
