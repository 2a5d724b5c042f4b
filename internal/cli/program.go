// Package cli is the command line: it reads flags and files, calls what computes,
// and writes what comes out. It is the one place where everything is put together.
//
// Data goes to standard output, everything else to standard error. Errors take a
// line each and say what to do next; they hold no name and no stack trace.
package cli

import (
	"errors"
	"fmt"
	"io"
	"os"
	"os/user"
	"runtime"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"github.com/google/uuid"
	"github.com/mattn/go-isatty"

	"cotline/internal/access"
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
	Account        func() string // the system's name of who runs it; nil: it is told nowhere
	Asks           bool          // standard input is a terminal: questions can be asked
	Colour         bool          // standard output is one

	scratch  scratch
	patience *atomic.Int64 // how long the command may take to end by itself, above grace
	taking   *sync.Mutex   // held while entries are being taken
	damaged  bool          // it was said that the record is: whatever comes of the command, it is refused
}

// OS is the program on the streams, clock and environment of the process.
func OS() *Program {
	terminal := func(f *os.File) bool { return isatty.IsTerminal(f.Fd()) }
	return &Program{
		Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr, Now: time.Now, Env: os.LookupEnv,
		NewID: uuid.NewString, Account: account, Asks: terminal(os.Stdin), Colour: terminal(os.Stdout),
	}
}

func account() string {
	who, err := user.Current()
	if err != nil {
		return "unknown"
	}
	return who.Username
}

// say writes a line to standard error.
func (p *Program) say(format string, args ...any) {
	fmt.Fprintln(p.Stderr, "cotline: "+oneLine(fmt.Sprintf(format, args...))) // nowhere is left to tell it
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
	case errors.Is(err, errRefused):
		return exitRefused
	}
	if errors.As(err, new(*journal.NoPolicy)) {
		return exitRefused
	}
	for _, looked := range []error{access.ErrDamaged, journal.ErrDamaged, journal.ErrBehind, journal.ErrNewer} {
		if errors.Is(err, looked) {
			return exitRefused
		}
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
