// Package clitest runs the program in a test's own process, as a person would run it
// by its command line. Product code never imports it.
package clitest

import (
	"bytes"
	"context"
	"testing"
	"time"

	"cotline/internal/cli"
)

// Program is the program on buffers, by a clock that stands at a moment of RFC 3339.
// It finds no environment, and a test in which it makes an entry of its own fails.
func Program(t testing.TB, at string) (p *cli.Program, stdout, stderr *bytes.Buffer) {
	t.Helper()
	now, err := time.Parse(time.RFC3339, at)
	if err != nil {
		t.Fatal(err)
	}
	stdout, stderr = new(bytes.Buffer), new(bytes.Buffer)
	return &cli.Program{
		Stdin: bytes.NewReader(nil), Stdout: stdout, Stderr: stderr,
		Now: func() time.Time { return now }, Env: func(string) (string, bool) { return "", false },
		NewID: func() string { t.Error("an id was asked for"); return "" },
	}, stdout, stderr
}

// Run runs one command line, which must end well, and gives what it printed.
func Run(t testing.TB, at string, args ...string) []byte {
	t.Helper()
	p, stdout, stderr := Program(t, at)
	if code := p.Run(context.Background(), args); code != 0 {
		t.Fatalf("%v: exit %d\n%s", args, code, stderr)
	}
	return stdout.Bytes()
}
