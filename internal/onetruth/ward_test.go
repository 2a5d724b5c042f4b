package onetruth

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"cotline/internal/cli/clitest"
	"cotline/internal/ward"
)

// faces are all that the program makes of one ward at one moment.
type faces struct {
	at               time.Time
	zone             *time.Location
	json, text, html []byte
	book             []byte
	csv              map[string][]byte // by file
	transaction      []byte
	documents        map[string][]byte // by infant
	run              func(args ...string) []byte
}

// wards are the demo ward, which examples/ward holds too, and random ones.
func wards() map[string]func(testing.TB) faces {
	out := map[string]func(testing.TB) faces{"demo": func(t testing.TB) faces {
		_, entries := ward.Demo()
		return facesOf(t, entries, ward.DemoAt)
	}}
	for _, seed := range []uint64{5, 12} {
		out[fmt.Sprint("seed ", seed)] = func(t testing.TB) faces {
			var entries bytes.Buffer
			last := ""
			for line := range ward.Random(seed, 12, 4) {
				entries.Write(line)
				last = happened.FindStringSubmatch(string(line))[1]
			}
			return facesOf(t, entries.Bytes(), last)
		}
	}
	return out
}

// facesOnce are the faces of one of the wards, made once, to be looked at only: what they were
// made from is gone.
func facesOnce(t testing.TB, name string) faces {
	t.Helper()
	f, ok := made[name]
	if !ok {
		f = wards()[name](t)
		f.run = nil
		made[name] = f
	}
	return f
}

var made = map[string]faces{}

var happened = regexp.MustCompile(`"at":"([^"]+)"`)

// facesOf runs the program as a user would, each face by its own command.
func facesOf(t testing.TB, entries []byte, moment string) faces {
	t.Helper()
	at, err := time.Parse(time.RFC3339, moment)
	if err != nil {
		t.Fatal(err)
	}
	zone, err := time.LoadLocation("Europe/Vienna") // of the invented policy
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	file := func(name string) string { return filepath.Join(dir, name) }
	for name, text := range map[string][]byte{"policy.yaml": ward.Policy(), "ward.ndjson": entries} {
		if err := os.WriteFile(file(name), text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	run := func(args ...string) []byte {
		t.Helper()
		return clitest.Run(t, moment, append(args, "--record", file("ward.ndjson"), "--policy", file("policy.yaml"), "--at", moment)...)
	}
	f := faces{at: at, zone: zone, run: run, csv: map[string][]byte{}, documents: map[string][]byte{}}
	f.json, f.text, f.html = run("handover", "--format", "json"), run("handover", "--format", "text", "--full"),
		run("handover", "--format", "html", "--full")
	run("workbook", "-o", file("book.xlsx"))
	f.book = read(t, file("book.xlsx"))
	run("workbook", "--csv", file("csv"))
	for _, name := range files(t, file("csv")) {
		f.csv[filepath.Base(name)] = read(t, name)
	}
	run("bundle", "--whole", "-o", file("transaction.json"))
	f.transaction = read(t, file("transaction.json"))
	run("bundle", "--type", "document", "-o", file("documents")+"/")
	for _, name := range files(t, file("documents")) {
		if infant, ok := strings.CutPrefix(strings.TrimSuffix(filepath.Base(name), ".json"), "document-"); ok {
			f.documents[infant] = read(t, name)
		}
	}
	return f
}

func read(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

func files(t testing.TB, dir string) []string {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(dir, "*"))
	if err != nil || len(names) == 0 {
		t.Fatal(dir, len(names), err)
	}
	return names
}
