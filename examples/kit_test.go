package examples

import (
	"bytes"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/handover"
)

// TestKit runs the command lines of each scenario of fhir/ and holds what they
// write to the files beside them, and what a receiver then holds to expected.json.
func TestKit(t *testing.T) {
	all, err := filepath.Glob("fhir/*/commands.txt")
	if err != nil || len(all) < 10 {
		t.Fatal(len(all), err)
	}
	for _, file := range all {
		dir, err := filepath.Abs(filepath.Dir(file))
		if err != nil {
			t.Fatal(err)
		}
		t.Run(filepath.Base(dir), func(t *testing.T) { scenario(t, dir) })
	}
}

func scenario(t *testing.T, dir string) {
	commands := file(t, filepath.Join(dir, "commands.txt"))
	work := filepath.Join(t.TempDir(), "scenario")
	if err := os.Mkdir(work, 0o755); err != nil {
		t.Fatal(err)
	}
	given := []string{filepath.Join(dir, "../policy.yaml")}
	for _, form := range []string{"*.ndjson", "*.yaml"} {
		more, err := filepath.Glob(filepath.Join(dir, form))
		if err != nil {
			t.Fatal(err)
		}
		given = append(given, more...)
	}
	for _, name := range given {
		to, err := filepath.Rel(dir, name)
		if err == nil {
			err = os.WriteFile(filepath.Join(work, to), file(t, name), 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	t.Chdir(work)
	policy := "policy.yaml"
	if _, err := os.Stat(policy); err != nil {
		policy = "../policy.yaml"
	}
	run(t, "chart", "entries.ndjson", "--record", "../ward.db", "--policy", policy) // what a record would take
	held := receiver{}
	for line := range strings.Lines(string(commands)) {
		words := strings.Fields(line)
		switch {
		case len(words) == 0 || words[0] == "#":
		case words[0] == "cotline":
			run(t, words[1:]...)
		case words[0] == "send" && len(words) == 2:
			held.take(t, file(t, words[1]))
		default:
			t.Fatalf("commands.txt: %q", line)
		}
	}
	state, err := json.MarshalIndent(held.state(), "", "  ")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile("expected.json", append(state, '\n'), 0o644); err != nil {
		t.Fatal(err)
	}
	compareFolders(t, dir, work)
}

func file(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// compareFolders holds every result below dir to that of the run: the bundles to
// the byte, and no file too many on either side.
func compareFolders(t *testing.T, dir, work string) {
	t.Helper()
	results := func(root string) (names []string) {
		err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
			if name, _ := filepath.Rel(root, path); err == nil && strings.HasSuffix(name, ".json") {
				names = append(names, name)
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		return names
	}
	got := results(work)
	if *update {
		for _, old := range results(dir) {
			if err := os.Remove(filepath.Join(dir, old)); err != nil {
				t.Fatal(err)
			}
		}
		for _, name := range got {
			to := filepath.Join(dir, name)
			if err := os.MkdirAll(filepath.Dir(to), 0o755); err != nil {
				t.Fatal(err)
			}
			if err := os.WriteFile(to, file(t, filepath.Join(work, name)), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		return
	}
	if want := results(dir); !slices.Equal(want, got) {
		t.Fatalf("files (-there +written):\n%s", cmp.Diff(want, got))
	}
	for _, name := range got {
		want, is := file(t, filepath.Join(dir, name)), file(t, filepath.Join(work, name))
		if bytes.Equal(want, is) {
			continue
		}
		t.Errorf("%s (-there +written): go test ./examples -update\n%s", name, cmp.Diff(pretty(t, want), pretty(t, is)))
	}
}

func pretty(t *testing.T, text []byte) string {
	t.Helper()
	var out bytes.Buffer
	if err := json.Indent(&out, text, "", "  "); err != nil {
		t.Fatal(err)
	}
	return out.String()
}

const (
	cutBegin = "<!-- cut: "
	cutEnd   = " -->\n```json\n"
)

// TestManualCuts holds every piece of JSON that the import team's manual shows to the
// bundle it was cut from: each says nothing that an entry there does not. Every type
// that can be sent is shown, and has its row in the table of types.
func TestManualCuts(t *testing.T) {
	manual := string(file(t, "../fhir/MANUAL.md"))
	parts := strings.Split(manual, cutBegin)
	shown := map[string]bool{}
	for _, part := range parts[1:] {
		name, rest, ok := strings.Cut(part, cutEnd)
		text, _, closed := strings.Cut(rest, "```")
		if !ok || !closed {
			t.Fatalf("a piece without its end: %.80s", part)
		}
		var cut any
		numbered(t, []byte(text), &cut)
		var b struct{ Entry []any }
		numbered(t, file(t, filepath.Join("fhir", name)), &b)
		if !slices.ContainsFunc(b.Entry, func(e any) bool { return within(cut, e) }) {
			t.Errorf("no entry of %s says this:\n%s", name, text)
		}
		shown[said(cut.(map[string]any)["resource"], "resourceType")] = true
	}
	for _, kind := range append([]string{"Patient"}, handover.SendTypes...) {
		if !shown[kind] || !strings.Contains(manual, "\n| "+kind) {
			t.Errorf("the manual shows no %s, or has no row of it", kind)
		}
	}
}

// numbered reads JSON with its numbers as they are written: 6.0 is not 6.
func numbered(t *testing.T, text []byte, into any) {
	t.Helper()
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	if err := d.Decode(into); err != nil {
		t.Fatalf("%v in %s", err, text)
	}
}

// within says whether all of a cut stands in the whole; a list may leave out items.
func within(cut, whole any) bool {
	switch c := cut.(type) {
	case map[string]any:
		w, ok := whole.(map[string]any)
		for name, v := range c {
			x, there := w[name]
			ok = ok && there && within(v, x)
		}
		return ok
	case []any:
		w, ok := whole.([]any)
		for _, v := range c {
			ok = ok && slices.ContainsFunc(w, func(x any) bool { return within(v, x) })
		}
		return ok
	}
	return cut == whole
}
