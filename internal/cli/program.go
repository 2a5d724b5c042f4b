// Package cli is the command line: it reads flags and files, calls what computes,
// and writes what comes out. Here alone everything is put together.
//
// Data goes to standard output, everything else to standard error. Errors take a
// line each and say what to do next; they hold no name and no stack trace.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"runtime"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/mattn/go-isatty"

	"cotline/internal/journal"
)

// version is raised whenever the same record would compile to another handover.
const version = "3"

// Program is the command line with everything it reads and writes, so that tests
// run it in process.
type Program struct {
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	Now            func() time.Time
	Env            func(string) (string, bool)
	NewID          func() string // of an entry: a UUID
	Asks           bool          // standard input is a terminal: questions can be asked
	Colour         bool          // standard output is one
}

// OS is the program on the streams, clock and environment of the process.
func OS() *Program {
	terminal := func(f *os.File) bool { return isatty.IsTerminal(f.Fd()) }
	return &Program{
		Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Now: time.Now, Env: os.LookupEnv,
		NewID: uuid.NewString, Asks: terminal(os.Stdin), Colour: terminal(os.Stdout),
	}
}

// Run runs one command and returns the exit code.
func (p *Program) Run(ctx context.Context, args []string) (code int) {
	defer func() {
		if what := recover(); what != nil {
			p.say("a fault of the program%s stopped the work; nothing was taken half; please report it with the command and this line", where())
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

// say writes a line to standard error.
func (p *Program) say(format string, args ...any) {
	line := strings.Join(strings.FieldsFunc(fmt.Sprintf(format, args...), func(r rune) bool { return r == '\n' || r == '\r' }), "; ")
	fmt.Fprintln(p.Stderr, "cotline: "+line) //nolint:errcheck // nowhere is left to tell it
}

// Exit codes.
const (
	exitDone    = 0
	exitRefused = 1 // the record holds, or was offered, something a person must look at
	exitFailed  = 2 // wrong call, or anything that stopped the work
)

// errTold is an error of which every line has been said.
var errTold = errors.New("told")

// errRefused is a refusal, told already.
var errRefused = fmt.Errorf("refused: %w", errTold)

func exitCode(err error) int {
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errRefused), errors.Is(err, journal.ErrDamaged):
		return exitRefused
	}
	return exitFailed
}

// where is the place in this module's code that panicked.
func where() string {
	pcs := make([]uintptr, 64)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(3, pcs)])
	for {
		f, more := frames.Next()
		if strings.HasPrefix(f.Function, "cotline/") && !strings.HasSuffix(f.File, "program.go") {
			return fmt.Sprintf(" (%s, line %d)", f.Function, f.Line)
		}
		if !more {
			return ""
		}
	}
}
