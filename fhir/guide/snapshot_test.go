package guide_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"cotline/fhir/internal/fixture"
)

// Every profile, and the extension, comes with its snapshot: all elements of what it
// stands on, each once and below its owner, as R4 wants them (sdf-3, sdf-8 of
// StructureDefinition), and in it what the differential says. HL7's engine, in
// internal/oracle, draws the same.
func TestSnapshotsAreWhole(t *testing.T) {
	w, _ := fixture.Demo(t)
	seen := 0
	for url, d := range load(t, w.Policy, nil).raw {
		if d["resourceType"] != "StructureDefinition" {
			continue
		}
		seen++
		text, err := json.Marshal(d)
		if err != nil {
			t.Fatal(err)
		}
		var s struct {
			Type                   string
			Snapshot, Differential struct{ Element []map[string]any }
		}
		if err := json.Unmarshal(text, &s); err != nil {
			t.Fatal(err)
		}
		at := map[string]map[string]any{}
		for n, e := range s.Snapshot.Element {
			id := e["id"].(string)
			owner := id[:max(0, strings.LastIndexAny(id, ".:"))]
			if n == 0 && id != s.Type || n > 0 && at[owner] == nil || at[id] != nil {
				t.Errorf("%s: %s is out of place", url, id)
			}
			for _, wanted := range []string{"definition", "min", "max", "base"} {
				if e[wanted] == nil {
					t.Errorf("%s: %s has no %s", url, id, wanted)
				}
			}
			at[id] = e
		}
		for _, e := range s.Differential.Element {
			for name, said := range e {
				got, err := json.Marshal(at[e["id"].(string)][name])
				if err != nil {
					t.Fatal(err)
				}
				if want, _ := json.Marshal(said); !slices.Equal(got, want) {
					t.Errorf("%s: %s of %s is %s, want %s", url, name, e["id"], got, want)
				}
			}
		}
	}
	if seen < 20 {
		t.Errorf("%d profiles", seen)
	}
}
