package oracle

import (
	"testing"
	"time"

	"github.com/google/fhir/go/fhirversion"
	"github.com/google/fhir/go/jsonformat"
	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/handover"
)

// Every type that a unit may name is taken by the reader of google/fhir and comes
// back with nothing lost; so do deltas that close and withdraw.
func TestEveryTypeIsRead(t *testing.T) {
	read, err := jsonformat.NewUnmarshaller("Europe/Vienna", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	write, err := jsonformat.NewMarshaller(false, "", "", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	take := func(x *fhir.Export) {
		for _, r := range x.Resources {
			m, err := read.Unmarshal(r.JSON)
			if err != nil {
				t.Fatalf("%s/%s: %v\n%s", r.Type, r.ID, err, r.JSON)
			}
			back, err := write.Marshal(m)
			if err != nil {
				t.Fatalf("%s/%s: %v", r.Type, r.ID, err)
			}
			if d := cmp.Diff(tree(t, r.JSON), tree(t, back)); d != "" {
				t.Fatalf("%s/%s came back changed: %s", r.Type, r.ID, d)
			}
			count[r.Type]++
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
	for _, seed := range []uint64{1, 2, 3} {
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
