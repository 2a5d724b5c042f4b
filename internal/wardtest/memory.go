package wardtest

import (
	"os"
	"runtime/debug"
	"slices"
	"strings"
)

// Tests take more memory for less time: wards are made, read and thrown away, and a third of
// some packages' time went into collecting them. Benchmarks run as the program does, and who
// sets GOGC or GOMEMLIMIT is obeyed.
func init() {
	measured := slices.ContainsFunc(os.Args, func(arg string) bool { return strings.HasPrefix(arg, "-test.bench=") })
	if measured || os.Getenv("GOGC") != "" || os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	debug.SetGCPercent(400)
	debug.SetMemoryLimit(1 << 30)
}
