package cli

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"cotline/internal/ward"
)

// BenchmarkChartOne charts one entry, start of the process included. The metric
// of-commit is how many times as long as a program takes that makes one durable commit
// and nothing else, in the same run (wanted: at most 4).
func BenchmarkChartOne(b *testing.B) {
	dir := b.TempDir()
	build := func(name, pkg string) string {
		out := filepath.Join(dir, name)
		if text, err := exec.Command("go", "build", "-o", out, pkg).CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, text)
		}
		return out
	}
	cotline, commit := build("cotline", "cotline/cmd/cotline"), build("onecommit", "./testdata/onecommit")
	policy, entries := ward.Demo()
	for name, text := range map[string][]byte{"policy.yaml": policy, "ward.ndjson": entries} {
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			b.Fatal(err)
		}
	}
	run := func(in, program string, args ...string) time.Duration {
		cmd := exec.Command(program, args...)
		cmd.Stdin, cmd.Dir = strings.NewReader(in), dir
		start := time.Now()
		if text, err := cmd.CombinedOutput(); err != nil {
			b.Fatalf("%v\n%s", err, text)
		}
		return time.Since(start)
	}
	chart := []string{"chart", "--record", "ward.db", "--policy", "policy.yaml"}
	run("", cotline, append(chart, "ward.ndjson")...)
	var own, plain time.Duration
	n := 0
	for b.Loop() {
		n++
		note := fmt.Sprintf(`{"id":"00000000-0000-4000-8000-%012d","kind":"note","at":"2026-03-09T07:00:00+01:00","by":"rn-1",`+
			`"text":"note"}`, n)
		own += run(note+"\n", cotline, append(chart, "-")...)
		plain += run("", commit, "plain.db", note)
	}
	b.ReportMetric(float64(own.Milliseconds())/float64(n), "ms/chart")
	b.ReportMetric(float64(own)/float64(plain), "of-commit")
}
