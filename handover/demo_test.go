package handover_test

import (
	"bytes"
	"slices"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	invented "cotline/internal/ward"
)

// The demo ward shows every row of what to look at first, and marks at most a third
// of its infants.
func TestDemoShowsEveryRow(t *testing.T) {
	_, lines := invented.Demo()
	var entries []*entry.Entry
	for line := range bytes.Lines(lines) {
		entries = append(entries, mustEntry(t, string(line)))
	}
	at, err := time.Parse(time.RFC3339, invented.DemoAt)
	if err != nil {
		t.Fatal(err)
	}
	p := inventedPolicy(t, "Europe/Vienna")
	fresh, issues := entry.Accept(entry.Nothing, entries, p.Lists(), p.ClockTolerance, time.Time{})
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	h := handover.Compile(handover.Ward{Entries: fresh, Policy: p}, at, at, time.Time{})
	shown, marked := map[string]bool{}, 0
	for _, s := range h.Infants {
		if slices.ContainsFunc(s.Attention, func(a handover.Attention) bool { return a.Level == handover.Now }) {
			marked++
		}
		for _, a := range s.Attention {
			shown[a.What] = true
		}
		if len(s.Doubts) > 0 {
			t.Errorf("%s: %v", s.Infant, s.Doubts)
		}
	}
	for _, what := range attentionOrder {
		if !shown[what] {
			t.Errorf("no row %s", what)
		}
	}
	if 3*marked > len(h.Infants) {
		t.Errorf("%d of %d infants are marked", marked, len(h.Infants))
	}
}
