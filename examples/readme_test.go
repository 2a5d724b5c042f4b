package examples

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cotline/internal/cli/clitest"
)

// TestManual holds what the front page and the nurse's manual show of a handover to
// what the program prints of the ward: the front page its head and the ward list,
// the manual one infant besides.
func TestManual(t *testing.T) {
	text := string(run(t, "handover", "--record", "ward/ward.ndjson", "--policy", "ward/policy.yaml"))
	parts := strings.Split(strings.TrimRight(text, "\n"), "\n\n") // the caution, the unit, the ward list, the infants
	list, one := strings.Join(parts[:3], "\n\n"), ""
	for _, part := range parts[3:] {
		if strings.HasPrefix(part, "Fern 2  ") {
			one = "\n\n" + part
		}
	}
	shows(t, "../README.md", "ward", list)
	shows(t, nursesManual, "handover", list+one)
}

// shows holds what stands between two marks of a page to a text of the program.
func shows(t *testing.T, page, mark, text string) {
	t.Helper()
	begin, end := "<!-- "+mark+": begin -->\n", "<!-- "+mark+": end -->"
	want := "```\n" + strings.TrimRight(text, "\n") + "\n```\n"
	before, rest, found := strings.Cut(string(file(t, page)), begin)
	got, after, closed := strings.Cut(rest, end)
	if !found || !closed {
		t.Fatalf("%s has lost the marks %q", page, mark)
	}
	if *update {
		if err := os.WriteFile(page, []byte(before+begin+want+end+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if got != want {
		t.Errorf("%s shows another %s than the program prints: go test ./examples -update", page, mark)
	}
}

const nursesManual = "../internal/page/MANUAL.md"

// between is what a page shows between two marks, without the fence.
func between(t *testing.T, page, mark string) string {
	t.Helper()
	_, rest, found := strings.Cut(string(file(t, page)), "<!-- "+mark+": begin -->\n```\n")
	text, _, closed := strings.Cut(rest, "```\n<!-- "+mark+": end -->")
	if !found || !closed {
		t.Fatalf("%s has lost the marks %q", page, mark)
	}
	return text
}

// What the nurse's manual charts is taken as it stands there, by the example ward's
// policy, and leaves no gap: an admission, a set-up and a whole round.
func TestManualCharts(t *testing.T) {
	const after = "2026-10-24T23:15:00+02:00"
	dir := t.TempDir()
	files := []string{}
	for _, mark := range []string{"admission", "set-up", "round"} {
		name := filepath.Join(dir, mark+".ndjson")
		if err := os.WriteFile(name, []byte(between(t, nursesManual, mark)), 0o600); err != nil {
			t.Fatal(err)
		}
		files = append(files, name)
	}
	record := filepath.Join(dir, "ward.db")
	taken := ""
	for i, name := range files {
		args := []string{"chart", name, "--record", record}
		if i == 0 {
			args = append(args, "--policy", "ward/policy.yaml")
		}
		taken = string(clitest.Run(t, after, args...))
	}
	shows(t, nursesManual, "taken", taken)
	var h struct {
		Infants []struct {
			Gaps      []string
			Doubts    []struct{ Text string }
			Attention []struct{ What, Level, Text string }
		}
	}
	if err := json.Unmarshal(clitest.Run(t, after, "handover", "--format", "json", "--record", record), &h); err != nil {
		t.Fatal(err)
	}
	if len(h.Infants) != 1 || len(h.Infants[0].Gaps)+len(h.Infants[0].Doubts) > 0 {
		t.Errorf("%+v", h)
	}
	for _, a := range h.Infants[0].Attention {
		if a.Level == "now" && a.What != "skin" {
			t.Errorf("%+v", a)
		}
	}
}

// The nurse's manual has the table of kinds and fields as it is printed.
func TestManualHasTheKinds(t *testing.T) {
	shows(t, nursesManual, "kinds", string(run(t, "schema", "--table")))
}
