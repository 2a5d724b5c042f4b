package handover_test

import (
	"bytes"
	"flag"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

var update = flag.Bool("update", false, "write the golden files anew: look at the difference before committing it")

// A night of an invented ward of five, in which the clock goes back at 01:00 to
// 00:00 (Azores): twins of whom one was weighed as the other, one driver on two, a
// break, a weaning, a transfer, one of whom hardly anything is charted, and one
// whose name is not shown. Every fact of its handover is held.
func TestGoldenWard(t *testing.T) {
	const golden = "testdata/night.golden"
	lines := strings.Split(strings.TrimSpace(string(wardtest.Shared(t, "night/entries.ndjson"))), "\n")
	p := wardtest.Policy(t, wardtest.Shared(t, "night/policy.json"))
	fresh, issues := entry.Accept(entry.Nothing, ward(t, lines...), p.Lists(), p.ClockTolerance, time.Time{})
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	got := []byte(without(`policy = [0-9a-f]{64}`)(text(compile(t, p, fresh, "25 07:30"))))
	if *update {
		if err := os.WriteFile(golden, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(golden)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(want, got) {
		t.Errorf("(-want +got)\n%s", cmp.Diff(strings.Split(string(want), "\n"), strings.Split(string(got), "\n")))
	}
}
