package examples

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/internal/cli/clitest"
	"cotline/internal/ward"
)

var update = flag.Bool("update", false, "rewrite the results from what the program prints")

// run runs one command line at the ward's own moment.
func run(t *testing.T, args ...string) []byte {
	t.Helper()
	return clitest.Run(t, ward.DemoAt, args...)
}

// holds holds what the program made to the file beside it.
func holds(t *testing.T, path string, got []byte) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if diff := cmp.Diff(string(file(t, path)), string(got)); diff != "" {
		t.Errorf("%s (-file +program): go test ./examples -update\n%s", path, diff)
	}
}

// TestWard compiles the ward of examples/ward and holds every readable face to
// the file beside it.
func TestWard(t *testing.T) {
	for file, form := range map[string][]string{
		"handover.txt": nil, "handover-full.txt": {"--full"}, "handover.json": {"--format", "json"}, "handover.html": {"--format", "html"},
	} {
		got := run(t, append([]string{"handover", "--record", "ward/ward.ndjson", "--policy", "ward/policy.yaml"}, form...)...)
		holds(t, filepath.Join("ward", file), got)
	}
}

// TestPictures draws one infant and holds the drawings to the files beside it.
func TestPictures(t *testing.T) {
	dir := t.TempDir()
	run(t, "handover", "--record", "ward/ward.ndjson", "--policy", "ward/policy.yaml", "--cot", "Fern 2", "--pictures", dir)
	for _, name := range []string{"in-02-shift.svg", "in-02-head.svg", "in-02-face.svg"} {
		holds(t, filepath.Join("ward", "pictures", name), file(t, filepath.Join(dir, name)))
	}
}

// TestDemo does the whole job into a folder and finds every file that it names.
func TestDemo(t *testing.T) {
	dir := t.TempDir()
	told := run(t, "demo", "--out", dir)
	for _, name := range []string{
		"handover.html", "handover.txt", "handover.json", "workbook.xlsx", "bundle", "ward.db", "policy.yaml", "entries.ndjson",
	} {
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
	if said := bytes.ReplaceAll(told, []byte(dir), []byte("demo")); !bytes.Contains(file(t, "../README.md"), said) {
		t.Errorf("the README shows another demo than the program:\n%s", said)
	}
}
