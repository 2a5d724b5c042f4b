// Command cotline keeps what nurses chart for infants on nasal CPAP, and compiles
// it into a handover.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // the unit's time zone, on machines without zone files

	"cotline/internal/cli"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	code := cli.OS().Run(ctx, os.Args[1:])
	stop()
	os.Exit(code)
}
