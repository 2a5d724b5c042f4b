// Command cotline keeps what nurses chart for infants on nasal CPAP, and compiles
// it into a handover.
package main

import (
	"context"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
	_ "time/tzdata" // the unit's time zone, on machines without zone files

	"cotline/internal/cli"
)

// garbage is how much may lie about, in percent of what is in use, before it is collected. A
// percent keeps to the size of every record, where a limit that is right for one makes a larger
// one collect without end.
const garbage = 150

func main() {
	if _, set := os.LookupEnv("GOGC"); !set {
		debug.SetGCPercent(garbage)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := cli.OS().Run(ctx, os.Args[1:])
	stop()
	os.Exit(code)
}
