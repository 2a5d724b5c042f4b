package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/internal/intake"
	"cotline/internal/ward"
)

// A server keeps the handover for paper in a folder from its start on, for its own user
// alone: everybody who is here, and without a browser no PDF of before.
func TestServeHourly(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "paper")
	old := filepath.Join(dir, "handover-unit.pdf")
	if err := os.Mkdir(dir, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(old, []byte("of before"), 0o600); err != nil {
		t.Fatal(err)
	}
	stdout, stderr, stop := servingWith(t, map[string]string{"COTLINE_BROWSER": "no-such-browser"}, "--demo", "--hourly", dir)
	stdout.wait(t, `Open (http://127\.0\.0\.1:[0-9]+/) `)
	name := filepath.Join(dir, "handover-unit.html")
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range demoHandover(t).Infants {
		if f.MRN != "" && !strings.Contains(string(text), f.MRN) {
			t.Errorf("cot %s is not on paper", f.Cot)
		}
	}
	if info, err := os.Stat(name); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v %v", info, err)
	}
	if _, err := os.Stat(old); err == nil {
		t.Error("the PDF of before is there beside it")
	}
	if code := stop(); code != exitDone {
		t.Errorf("exit %d\n%s", code, stderr)
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 1 {
		t.Errorf("left: %v %v", left, err)
	}
}

// demoHandover is the demo ward at its handover.
func demoHandover(t *testing.T) *handover.Handover {
	t.Helper()
	text, lines := ward.Demo()
	policy, issues := intake.Policy(text)
	offer, err := intake.Record(strings.NewReader(string(lines)), policy.ClockTolerance)
	at, wrong := time.Parse(time.RFC3339, ward.DemoAt)
	if err != nil || wrong != nil || len(issues) > 0 {
		t.Fatal(err, wrong, issues)
	}
	return handover.Compile(handover.Ward{Entries: offer.Entries, Policy: policy}, at, at, time.Time{})
}

// A folder that cannot be written to is told before anybody relies on it.
func TestServeHourlyRefused(t *testing.T) {
	file := filepath.Join(t.TempDir(), "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	_, stderr, stop := serving(t, "--demo", "--hourly", filepath.Join(file, "paper"))
	stderr.wait(t, `(check the name)`)
	if code := stop(); code != exitFailed {
		t.Errorf("exit %d\n%s", code, stderr)
	}
}

// It is never more than an hour to the next one.
func TestUntilNext(t *testing.T) {
	for _, x := range []struct{ now, wait string }{{"07:30:00", "30m"}, {"07:00:00", "1h"}, {"06:59:59", "1s"}} {
		now, err := time.Parse(time.TimeOnly, x.now)
		if err != nil {
			t.Fatal(err)
		}
		if got, want := untilNext(now), mustDuration(t, x.wait); got != want {
			t.Errorf("%s: %s, want %s", x.now, got, want)
		}
	}
}

func mustDuration(t *testing.T, text string) time.Duration {
	t.Helper()
	d, err := time.ParseDuration(text)
	if err != nil {
		t.Fatal(err)
	}
	return d
}
