package cli

import (
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"cotline/internal/page"
)

const long = `cotline keeps what nurses chart for infants on nasal CPAP as a record that is
only added to, and compiles it into a handover for any moment.

` + page.Caution

// root is the command line, made anew for each run.
func (p *Program) root() *cobra.Command {
	s := &settings{program: p}
	root := &cobra.Command{
		Use: "cotline", Short: "Nasal CPAP handover from charted entries", Long: long,
		Version: version, SilenceErrors: true, SilenceUsage: true,
		Args: cobra.ArbitraryArgs, RunE: noCommand,
		PersistentPreRunE: func(cmd *cobra.Command, _ []string) error { return s.fromEnvironment(cmd) },
	}
	root.AddCommand(p.transfer(s))
	root.SetIn(p.Stdin)
	root.SetOut(p.Stdout)
	root.SetErr(p.Stderr)
	flags := root.PersistentFlags()
	flags.StringVar(&s.record, "record", "cotline.db", "the record: a file, or a .ndjson file that is read as it is")
	flags.StringVar(&s.policy, "policy", "", "the unit's policy, YAML (default: built in)")
	root.AddCommand(
		p.demo(), p.chart(s), p.handover(s), p.bundle(s), p.ndjson(s), p.workbook(s), p.template(s), p.verify(s), p.backup(s), p.restore(s), p.rechart(s),
		p.policyCommand(s), p.schema(), p.codes(s),
	)
	typed(root)
	return root
}

// noCommand is help where nothing is asked for, and the nearest command where one is
// that there is not.
func noCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return cmd.Help()
	}
	what := fmt.Sprintf("unknown command %q", args[0])
	if near := cmd.SuggestionsFor(args[0]); len(near) > 0 {
		what += ", did you mean " + strings.Join(near, " or ") + "?"
	}
	return misused{errors.New(what)}
}
