package cli

import (
	"context"
	"errors"

	"github.com/spf13/cobra"

	"cotline/internal/page"
)

const long = `cotline keeps what nurses chart for infants on nasal CPAP as a record that is
only added to, and compiles it into a handover for any moment.

` + page.Caution

// Run runs one command and returns the exit code.
func (p *Program) Run(ctx context.Context, args []string) (code int) {
	defer func() {
		if what := recover(); what != nil {
			p.say("a fault of the program%s stopped the work; nothing was taken half; please report it with the command and this line",
				where())
			code = exitFailed
		}
	}()
	root := p.root()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	if err != nil && !errors.Is(err, errTold) {
		p.say("%s", explain(err))
	}
	return exitCode(err)
}

// root is the command line, made anew for each run.
func (p *Program) root() *cobra.Command {
	s := &settings{program: p}
	root := &cobra.Command{
		Use: "cotline", Short: "Nasal CPAP handover from charted entries", Long: long,
		Version: version, SilenceErrors: true, SilenceUsage: true,
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
		p.demo(), p.chart(s), p.handover(s), p.bundle(s), p.ndjson(s), p.workbook(s), p.template(s), p.verify(s), p.rechart(s),
		p.policyCommand(s), p.schema(), p.codes(s),
	)
	return root
}
