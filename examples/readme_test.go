package examples

import (
	"os"
	"strings"
	"testing"
)

const (
	handoverBegin = "<!-- handover: begin -->\n"
	handoverEnd   = "<!-- handover: end -->"
)

// TestReadme holds the handover that the README shows to what the program prints
// of the ward: its head, the ward list, and one infant.
func TestReadme(t *testing.T) {
	const shown = "Fern 2  "
	text := string(run(t, "handover", "--record", "ward/ward.ndjson", "--policy", "ward/policy.yaml"))
	parts := strings.Split(strings.TrimRight(text, "\n"), "\n\n") // the caution, the unit, the ward list, the infants
	kept := parts[:3]
	for _, part := range parts[3:] {
		if strings.HasPrefix(part, shown) {
			kept = append(kept, part)
		}
	}
	want := "```\n" + strings.Join(kept, "\n\n") + "\n```\n"
	readme, err := os.ReadFile("../README.md")
	if err != nil {
		t.Fatal(err)
	}
	before, rest, found := strings.Cut(string(readme), handoverBegin)
	got, after, closed := strings.Cut(rest, handoverEnd)
	if !found || !closed {
		t.Fatal("the README has lost the marks round the handover it shows")
	}
	if *update {
		if err := os.WriteFile("../README.md", []byte(before+handoverBegin+want+handoverEnd+after), 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	if got != want {
		t.Error("the README shows another handover than the program prints: go test ./examples -update")
	}
}
