package cli

import (
	"context"
	"errors"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/spf13/cobra"

	"cotline/internal/page"
)

const long = `cotline keeps what nurses chart for infants on nasal CPAP as a record that is
only added to, and compiles it into a handover for any moment.

` + page.Caution

// grace is how long a command has to end by itself when it is told to.
const grace = 500 * time.Millisecond

// Run runs one command and returns the exit code. When the context ends, so does
// the command: what cannot be stopped, as a read of an input that says nothing, is
// left behind, but for a transaction, which is waited for.
func (p *Program) Run(ctx context.Context, args []string) int {
	p.taking, p.patience = new(sync.Mutex), new(atomic.Int64)
	done := make(chan int, 1)
	go func() { done <- p.run(ctx, args) }()
	select {
	case code := <-done:
		return code
	case <-ctx.Done():
	}
	select {
	case code := <-done:
		return code
	case <-time.After(max(grace, time.Duration(p.patience.Load()))):
	}
	p.taking.Lock() // for good: nothing more is taken
	select {
	case code := <-done:
		return code
	default:
	}
	p.say("stopped; nothing was taken half")
	return exitFailed
}

func (p *Program) run(ctx context.Context, args []string) (code int) {
	defer func() {
		if what := recover(); what != nil {
			p.say("a fault of the program%s stopped the work; nothing was taken half; please report it with the command and this line",
				where())
			code = exitFailed
		}
	}()
	sweep()
	defer p.scratch.end()
	root := p.root()
	root.SetArgs(args)
	err := root.ExecuteContext(ctx)
	if err != nil && !errors.Is(err, errTold) {
		p.say("%s", explain(err))
	}
	code = exitCode(err)
	if p.damaged && code == exitFailed {
		code = exitRefused
	}
	return code
}

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
	flags.StringVar(&s.record, "record", defaultRecord, "the record: a file, or a .ndjson file that is read as it is")
	flags.StringVar(&s.policy, "policy", "", "the unit's policy, YAML (default: the record's own); chart puts it in force, else it is "+
		"only looked with")
	root.AddCommand(
		p.demo(), p.chart(s), p.handover(s), p.bundle(s), p.ndjson(s), p.workbook(s), p.template(s), p.verify(s), p.backup(s),
		p.restore(s), p.rechart(s), p.serve(s),
		p.policyCommand(s), p.schema(), p.id(), p.codes(s), p.people(s), p.programs(s), p.trace(s),
	)
	guarded(root)
	return root
}

// noCommand is help where nothing is asked for, and the nearest command where one is
// that there is not.
func noCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return cmd.Help()
	}
	what := "there is no such command"
	cmd.SuggestionsMinimumDistance = 2 // letters that differ
	if near := cmd.SuggestionsFor(args[0]); len(near) > 0 {
		what += ", did you mean " + strings.Join(near, " or ") + "?"
	}
	return misused{errors.New(what)}
}
