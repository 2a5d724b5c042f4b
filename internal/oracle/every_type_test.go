package oracle

import (
	"testing"
	"time"

	"cotline/fhir"
	"cotline/handover"
)

// Every type that a unit may name is taken by the reader of google/fhir and comes
// back with nothing lost; so do deltas that close and withdraw.
func TestEveryTypeIsRead(t *testing.T) {
	t.Parallel()
	count := map[string]int{}
	take := func(x *fhir.Export) {
		for kind, n := range comesBack(t, x) {
			count[kind] += n
		}
	}
	all := func(w handover.Ward, at time.Time) {
		w.Policy.FHIR.Send = handover.SendTypes
		take(exported(t, w, fhir.Ask{At: at, Known: at}))
		d, err := fhir.Delta(w, at.Add(-20*time.Hour), fhir.Ask{At: at, Known: at})
		if err != nil {
			t.Fatal(err)
		}
		take(d)
	}
	w, at := demo(t)
	all(w, at)
	seeds := []uint64{1}
	if *whole {
		seeds = []uint64{1, 2, 3}
	}
	for _, seed := range seeds {
		w, at := random(t, seed)
		all(w, at)
	}
	for _, kind := range []string{"Observation", "DeviceUseStatement", "Device", "Task", "Flag", "Provenance", "Encounter", "Location",
		"Practitioner", "DeviceMetric"} {
		if count[kind] == 0 {
			t.Errorf("no %s was read", kind)
		}
	}
	t.Log(count)
}
