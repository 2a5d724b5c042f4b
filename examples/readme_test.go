package examples

import (
	"os"
	"strings"
	"testing"
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
	shows(t, "../internal/page/MANUAL.md", "handover", list+one)
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
		t.Errorf("%s shows another handover than the program prints: go test ./examples -update", page)
	}
}
