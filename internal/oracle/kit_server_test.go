//go:build outside

package oracle

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// A HAPI server that gives ids itself holds what the kit expects of a store whose
// Patients are ours: one Patient, to which the hospital number and then another
// family name were added, and the weight on it.
func TestServerKeepsOnePatientOfOurs(t *testing.T) {
	t.Parallel()
	dir := filepath.Join("..", "..", "examples", "fhir", "rename-own-store")
	s := startServer(t)
	for _, name := range []string{"1-first.json", "2-difference.json", "3-difference.json"} {
		s.take(t, read(t, filepath.Join(dir, name)))
	}
	var expected map[string]struct {
		Versions    json.Number
		Identifiers []string
	}
	if err := json.Unmarshal(read(t, filepath.Join(dir, "expected.json")), &expected); err != nil {
		t.Fatal(err)
	}
	for key, want := range expected {
		kind, _, _ := strings.Cut(key, "/")
		all := s.search(t, kind)
		if len(all) != 1 || all[0].Version != want.Versions.String() {
			t.Fatalf("%d %s, the first of version %s; one of version %s is wanted", len(all), kind, all[0].Version, want.Versions)
		}
		for _, id := range want.Identifiers {
			if _, value, _ := strings.Cut(id, " "); !strings.Contains(string(all[0].JSON), `"`+value+`"`) {
				t.Errorf("%s has no identifier %s: %s", kind, value, all[0].JSON)
			}
		}
	}
	patient, weight := s.search(t, "Patient")[0], s.search(t, "Observation")[0]
	if !strings.Contains(string(weight.JSON), `"Patient/`+patient.ID+`"`) || !strings.Contains(string(patient.JSON), `"Burnet"`) {
		t.Errorf("the weight is not on the Patient of the new name:\n%s\n%s", patient.JSON, weight.JSON)
	}
}

func read(t *testing.T, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	return text
}
