package fhir_test

import (
	"bytes"
	"encoding/json"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
)

func TestNDJSON(t *testing.T) {
	w, last := fixture.Random(t, 5, 2, 1)
	x := fixture.Export(t, w, fhir.Ask{At: last, Known: last})
	files, err := x.NDJSON()
	if err != nil {
		t.Fatal(err)
	}
	total := 0
	for _, f := range files {
		lines := bytes.SplitAfter(f.Content, []byte("\n"))
		if len(lines[len(lines)-1]) != 0 {
			t.Errorf("%s: the last line is not ended", f.Name)
		}
		lines = lines[:len(lines)-1]
		if len(lines) != f.Count || f.Name != f.Type+".ndjson" {
			t.Errorf("%s: %d lines, %d counted", f.Name, len(lines), f.Count)
		}
		total += len(lines)
		for _, line := range lines {
			if faults := r4.Check(line); len(faults) > 0 {
				t.Fatal(faults)
			}
			if !bytes.HasPrefix(line, []byte(`{"resourceType":"`+f.Type+`",`)) || bytes.Contains(line, []byte("urn:uuid:")) ||
				bytes.Count(line, []byte("\n")) != 1 {
				t.Fatalf("%s: %s", f.Name, line)
			}
		}
	}
	if total != len(x.Resources) {
		t.Errorf("%d lines of %d resources", total, len(x.Resources))
	}
}

func TestManifest(t *testing.T) {
	got := fhir.Manifest([]fhir.File{{Name: "Device.ndjson", Type: "Device", Count: 2},
		{Name: "Patient.ndjson", Type: "Patient", Count: 1}},
		fixture.Moment(t, "2026-03-01T10:00:00+01:00"), "https://moonwort.example/fhir/$export", "files/")
	want := `{"transactionTime":"2026-03-01T10:00:00+01:00","request":"https://moonwort.example/fhir/$export",` +
		`"requiresAccessToken":false,"output":[` +
		`{"type":"Device","url":"files/Device.ndjson","count":2},{"type":"Patient","url":"files/Patient.ndjson","count":1}],` +
		`"deleted":[],"error":[]}` + "\n"
	if d := cmp.Diff(want, string(got)); d != "" {
		t.Error(d)
	}
	if !json.Valid(got) {
		t.Error("no JSON")
	}
}
