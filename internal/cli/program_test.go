package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/internal/ward"
)

// inProcess is a program on buffers, at the demo ward's moment.
func inProcess(t *testing.T) (p *Program, stdout, stderr *bytes.Buffer) {
	t.Helper()
	at, err := time.Parse(time.RFC3339, ward.DemoAt)
	if err != nil {
		t.Fatal(err)
	}
	stdout, stderr = new(bytes.Buffer), new(bytes.Buffer)
	return &Program{
		Stdin: strings.NewReader(""), Stdout: stdout, Stderr: stderr,
		Now: func() time.Time { return at }, Env: func(string) (string, bool) { return "", false },
		NewID: func() string { t.Error("an id was asked for"); return "" },
	}, stdout, stderr
}

// demoFiles are the demo ward's policy and entries.
func demoFiles(t *testing.T) (policy, record string) {
	t.Helper()
	dir := t.TempDir()
	policy, record = filepath.Join(dir, "policy.yaml"), filepath.Join(dir, "ward.ndjson")
	text, entries := ward.Demo()
	for name, content := range map[string][]byte{policy: text, record: entries} {
		if err := os.WriteFile(name, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return policy, record
}

// A fault of the program is a plain sentence: no trace, and nothing of what it
// was working on.
func TestPanicIsToldPlainly(t *testing.T) {
	p, _, stderr := inProcess(t)
	p.Now = func() time.Time { panic("Marigold") }
	policy, record := demoFiles(t)
	code := p.Run(context.Background(), []string{"handover", "--record", record, "--policy", policy})
	told := stderr.String()
	if code != exitFailed || strings.Count(told, "\n") != 1 || strings.Contains(told, "goroutine") || strings.Contains(told, "Marigold") {
		t.Errorf("%d: %s", code, told)
	}
	if !strings.Contains(told, "cotline/internal/cli.") {
		t.Errorf("it does not say where: %s", told)
	}
}

// alder is a file with a policy that is the defaults.
func alder(t *testing.T) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "alder.yaml")
	if err := os.WriteFile(path, []byte("unit: Alder neonatal unit\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errors.New("no space left on device") }

// Whatever a command prints, output that fails ends it with 2.
func TestOutputFails(t *testing.T) {
	policy, record := demoFiles(t)
	for _, args := range [][]string{
		{"handover"}, {"handover", "--format", "json"}, {"handover", "--format", "html"}, {"bundle", "--whole"}, {"verify"}, {"policy"},
		{"policy", "--format", "json"}, {"schema"},
	} {
		p, _, stderr := inProcess(t)
		p.Stdout = full{}
		args := append(args, "--record", record, "--policy", policy)
		if code := p.Run(context.Background(), args); code != exitFailed || !strings.Contains(stderr.String(), "no space left") {
			t.Errorf("%v: %d: %s", args, code, stderr)
		}
	}
}

// A file that cannot be written whole is left as it was.
func TestReplaceIsWhole(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "handover.html")
	p, _, _ := inProcess(t)
	if err := p.output(path, func(w io.Writer) error { _, err := io.WriteString(w, "first"); return err }); err != nil {
		t.Fatal(err)
	}
	wrong := errors.New("half way")
	err := p.output(path, func(w io.Writer) error {
		if _, err := io.WriteString(w, "sec"); err != nil {
			return err
		}
		return wrong
	})
	if !errors.Is(err, wrong) {
		t.Errorf("got %v", err)
	}
	text, err := os.ReadFile(path)
	if err != nil || string(text) != "first" {
		t.Errorf("it holds %q; %v", text, err)
	}
	left, err := os.ReadDir(dir)
	if err != nil || len(left) != 1 {
		t.Errorf("beside it: %v; %v", left, err)
	}
	info, err := os.Stat(path)
	if err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v; %v", info.Mode(), err)
	}
}

// A program that is told to stop takes nothing half, and says so.
func TestStopped(t *testing.T) {
	policy, record := demoFiles(t)
	ctx, stop := context.WithCancel(context.Background())
	stop()
	p, _, stderr := inProcess(t)
	stored := filepath.Join(t.TempDir(), "cotline.db")
	if code := p.Run(ctx, []string{"chart", record, "--record", stored, "--policy", policy}); code != exitFailed {
		t.Errorf("%d: %s", code, stderr)
	}
	p, stdout, stderr := inProcess(t)
	if code := p.Run(context.Background(), []string{"verify", "--record", stored}); code == exitDone &&
		!strings.Contains(stdout.String(), ": 0 entries") {
		t.Errorf("%d: %s%s", code, stdout, stderr)
	}
}

// Colour stands beside words, on a terminal alone, and never where it is not
// wanted.
func TestColour(t *testing.T) {
	policy, record := demoFiles(t)
	for name, c := range map[string]struct {
		terminal bool
		none     string
		want     bool
	}{
		"a terminal": {true, "", true}, "a file": {false, "", false}, "a terminal, not wanted": {true, "1", false},
	} {
		p, stdout, stderr := inProcess(t)
		p.Colour = c.terminal
		p.Env = func(name string) (string, bool) { return c.none, name == "NO_COLOR" }
		if code := p.Run(context.Background(), []string{"handover", "--record", record, "--policy", policy}); code != exitDone {
			t.Fatalf("%s: %d: %s", name, code, stderr)
		}
		if got := strings.Contains(stdout.String(), "\x1b["); got != c.want {
			t.Errorf("%s: colour %v", name, got)
		}
	}
}

// A plain file, a record, and a record that took the same lines in another
// order tell the same, but for what a plain file has not.
func TestPlainAndStoredAgree(t *testing.T) {
	t.Parallel()
	policy, plain := demoFiles(t)
	text, err := os.ReadFile(plain)
	if err != nil {
		t.Fatal(err)
	}
	lines := bytes.SplitAfter(bytes.TrimSuffix(text, []byte("\n")), []byte("\n"))
	lines[len(lines)-1] = append(lines[len(lines)-1], '\n')
	random := rand.New(rand.NewPCG(1, 2))
	random.Shuffle(len(lines), func(i, j int) { lines[i], lines[j] = lines[j], lines[i] })
	shuffled := filepath.Join(t.TempDir(), "shuffled.ndjson")
	if err := os.WriteFile(shuffled, bytes.Join(lines, nil), 0o600); err != nil {
		t.Fatal(err)
	}
	run := func(args ...string) string {
		t.Helper()
		p, stdout, stderr := inProcess(t)
		if code := p.Run(context.Background(), append(args, "--policy", policy)); code != exitDone {
			t.Fatalf("%v: %d: %s", args, code, stderr)
		}
		return stdout.String()
	}
	want := run("handover", "--format", "json", "--record", plain)
	if got := run("handover", "--format", "json", "--record", shuffled); got != want {
		t.Error("another order of lines tells another thing")
	}
	ofStored := regexp.MustCompile(`(?m)^  "(position|chain)": .*\n`)
	for _, file := range []string{plain, shuffled} {
		stored := filepath.Join(t.TempDir(), "cotline.db")
		run("chart", file, "--record", stored)
		got := run("handover", "--format", "json", "--record", stored)
		if n := len(ofStored.FindAllString(got, -1)); n != 2 {
			t.Errorf("%d of position and chain", n)
		}
		if diff := cmp.Diff(want, ofStored.ReplaceAllString(got, "")); diff != "" {
			t.Errorf("a record tells another thing than its file (-plain +stored)\n%s", diff)
		}
	}
}

// waits is an input that says nothing until the test is over.
type waits struct{ over chan struct{} }

func (w waits) Read([]byte) (int, error) { <-w.over; return 0, io.EOF }

// A command that waits for an input ends on a signal, and says so.
func TestSignalEnds(t *testing.T) {
	p, _, stderr := inProcess(t)
	over := make(chan struct{})
	p.Stdin = waits{over}
	ctx, stop := context.WithCancel(context.Background())
	time.AfterFunc(50*time.Millisecond, stop)
	ended := make(chan int)
	go func() {
		ended <- p.Run(ctx, []string{"chart", "-", "--policy", alder(t), "--record", filepath.Join(t.TempDir(), "a.db")})
	}()
	select {
	case code := <-ended:
		if code != exitFailed || !strings.Contains(stderr.String(), "stopped") {
			t.Errorf("exit %d: %s", code, stderr)
		}
	case <-time.After(time.Minute):
		t.Error("it waits on")
	}
}

// A signal that comes while entries are taken waits for the transaction alone.
func TestSignalWaitsForTheTransaction(t *testing.T) {
	p, _, stderr := inProcess(t)
	policy, record := demoFiles(t)
	path := filepath.Join(t.TempDir(), "a.db")
	ctx, stop := context.WithCancel(context.Background())
	defer stop()
	now := p.Now
	asked := 0
	p.Now = func() time.Time { // the fourth time within the transaction, of when entries are accepted
		if asked++; asked == 4 {
			stop()
		}
		return now()
	}
	code := p.Run(ctx, []string{"chart", record, "--record", path, "--policy", policy})
	q, stdout, told := inProcess(t)
	verified := q.Run(context.Background(), []string{"verify", "--record", path})
	lines := bytes.Count(mustRead(t, record), []byte("\n"))
	all, none := strings.Contains(stdout.String(), fmt.Sprintf(" %d entries", lines)), strings.Contains(stdout.String(), " 0 entries")
	if asked < 4 || verified != 0 || !all && !none || code == 0 && !all {
		t.Errorf("exit %d (%s), then verify %d: %s%s", code, stderr, verified, stdout, told)
	}
}

// A signal that comes between two parts of an export leaves none of them behind.
func TestSignalLeavesNoPart(t *testing.T) {
	p, _, stderr := inProcess(t)
	policy, record := demoFiles(t)
	dir := t.TempDir()
	ctx, stop := context.WithCancel(t.Context())
	seen := make(chan int, 1)
	go func() { // as soon as some parts stand
		defer stop()
		for {
			if parts, _ := filepath.Glob(filepath.Join(dir, "transaction-*.json")); len(parts) > 0 || ctx.Err() != nil {
				seen <- len(parts)
				return
			}
		}
	}()
	code := p.Run(ctx, []string{"bundle", "--record", record, "--policy", policy, "--max-entries", "20", "-o", dir + "/"})
	left, err := os.ReadDir(dir)
	stood := <-seen
	if code != exitFailed || stood == 0 || len(left) > 0 || err != nil || !strings.Contains(stderr.String(), "stopped") {
		t.Errorf("exit %d, %d parts stood, %d files are left: %v %s", code, stood, len(left), err, stderr)
	}
}

// Of NDJSON that fails, or is stopped, neither a file nor the manifest of the export before is left.
func TestNDJSONLeavesNoFile(t *testing.T) {
	stopped, stop := context.WithCancel(t.Context())
	stop()
	for name, x := range map[string]struct {
		ctx   context.Context
		files []fhir.File
	}{
		"fails":   {t.Context(), []fhir.File{{Name: "Patient.ndjson"}, {Name: strings.Repeat("x", 300)}}},
		"stopped": {stopped, []fhir.File{{Name: "Patient.ndjson"}}},
	} {
		dir := t.TempDir()
		for _, old := range []string{manifestName, "Observation.ndjson", "notes.txt"} {
			if err := os.WriteFile(filepath.Join(dir, old), nil, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		p, _, _ := inProcess(t)
		err := p.ndjsonFolder(x.ctx, dir, x.files)
		left, _ := os.ReadDir(dir)
		if err == nil || len(left) != 1 || left[0].Name() != "notes.txt" {
			t.Errorf("%s: %v, left: %v", name, err, left)
		}
	}
}
