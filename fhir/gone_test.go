package fhir_test

import (
	"strings"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/internal/wardtest"
)

// Wholes, and wholes with differences between them, each a moment before something was
// corrected, taken back, moved to another infant or charted late: a receiver holds nothing
// open that is not so.
func TestWholesEndWhatWasTakenBack(t *testing.T) {
	ended := map[string]int{}
	for seed := range fixture.Seeds(20, 4) {
		w, last := fixture.Random(t, seed, 4, 2)
		w.Policy = fixture.SendingAll(t)
		var moments []time.Time
		end := last.Add(26 * time.Hour) // all is written down
		w.Entries, moments = wardtest.Shaken(t, w.Entries, seed, end.Add(-w.Policy.FHIR.Left))
		held, mixed := receiver{}, receiver{}
		for n, m := range append(moments, end) {
			x := fixture.Export(t, w, fhir.Ask{At: m, Known: m})
			held.take(t, x)
			if n%3 > 0 {
				x = fixture.Delta(t, w, moments[n-1], fhir.Ask{At: m, Known: m})
			}
			mixed.take(t, x)
			holdNothingOpen(t, w, mixed, m, "wholes and differences")
		}
		holdNothingOpen(t, w, held, end, "whole after whole")
		for key, s := range held {
			if kind, _, _ := strings.Cut(key, "/"); strings.Contains(s, `entered-in-error"`) || strings.Contains(s, `"Withdrawn: `) {
				ended[kind]++
			}
		}
	}
	t.Log(ended)
	for _, kind := range []string{"DeviceUseStatement", "Device", "Encounter", "Task", "DeviceMetric"} {
		if ended[kind] == 0 {
			t.Errorf("no %s was taken back", kind)
		}
	}
}
