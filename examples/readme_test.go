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
	rule := strings.Repeat("-", 100) + "\n"
	list, infants, _ := strings.Cut(text, rule)
	one := ""
	for _, part := range strings.Split(infants, rule) {
		if strings.HasPrefix(part, "COT Fern 2") {
			one = rule + part
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
