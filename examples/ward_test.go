package examples

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/internal/cli"
	"cotline/internal/ward"
)

var update = flag.Bool("update", false, "rewrite the results from what the program prints")

// run runs one command line in process, at the ward's own moment.
func run(t *testing.T, args ...string) []byte {
	t.Helper()
	now, err := time.Parse(time.RFC3339, ward.DemoAt)
	if err != nil {
		t.Fatal(err)
	}
	var out, told bytes.Buffer
	p := &cli.Program{
		Stdin: bytes.NewReader(nil), Stdout: &out, Stderr: &told,
		Now: func() time.Time { return now }, Env: func(string) (string, bool) { return "", false },
		NewID: func() string { t.Fatal("no entry is made here"); return "" },
	}
	if code := p.Run(context.Background(), args); code != 0 {
		t.Fatalf("%v: exit %d\n%s", args, code, told.String())
	}
	return out.Bytes()
}

// TestWard compiles the ward of examples/ward and holds every readable face to
// the file beside it.
func TestWard(t *testing.T) {
	for file, form := range map[string][]string{
		"handover.txt": nil, "handover-full.txt": {"--full"}, "handover.json": {"--format", "json"}, "handover.html": {"--format", "html"},
	} {
		got := run(t, append([]string{"handover", "--record", "ward/ward.ndjson", "--policy", "ward/policy.yaml"}, form...)...)
		path := filepath.Join("ward", file)
		if *update {
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), string(got)); diff != "" {
			t.Errorf("%s (-file +program):\n%s", path, diff)
		}
	}
}

// TestPictures draws one infant and holds the drawings to the files beside it.
func TestPictures(t *testing.T) {
	dir := t.TempDir()
	run(t, "handover", "--record", "ward/ward.ndjson", "--policy", "ward/policy.yaml", "--cot", "Fern 2", "--pictures", dir)
	for _, name := range []string{"in-02-shift.svg", "in-02-head.svg", "in-02-face.svg"} {
		got, err := os.ReadFile(filepath.Join(dir, name))
		if err != nil {
			t.Fatal(err)
		}
		path := filepath.Join("ward", "pictures", name)
		if *update {
			if err := os.WriteFile(path, got, 0o644); err != nil {
				t.Fatal(err)
			}
			continue
		}
		want, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), string(got)); diff != "" {
			t.Errorf("%s (-file +program):\n%s", path, diff)
		}
	}
}

// TestDemo does the whole job into a folder and finds every file that it names.
func TestDemo(t *testing.T) {
	dir := t.TempDir()
	told := run(t, "demo", "--out", dir)
	for _, name := range []string{"handover.html", "handover.txt", "handover.json", "workbook.xlsx", "bundle.json", "ward.db", "policy.yaml", "entries.ndjson"} {
		path := filepath.Join(dir, name)
		info, err := os.Stat(path)
		if err != nil {
			t.Fatal(err)
		}
		if info.Size() == 0 {
			t.Errorf("%s is empty", name)
		}
		if !bytes.Contains(told, []byte(path)) {
			t.Errorf("the demo does not say that it wrote %s", name)
		}
	}
	readme, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	if said := bytes.ReplaceAll(told, []byte(dir), []byte("demo")); !bytes.Contains(readme, said) {
		t.Errorf("the README shows another demo than the program:\n%s", said)
	}
}
