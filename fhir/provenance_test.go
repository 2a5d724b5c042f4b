package fhir_test

import (
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
)

// Provenance is sent if the policy names it, in mode put, and keeps the limits.
func TestProvenance(t *testing.T) {
	w, last := fixture.Random(t, 3, 3, 2)
	if x := fixture.Export(t, w, fhir.Ask{At: last, Known: last}); strings.Contains(types(x), "Provenance") {
		t.Error("sent though the policy does not name it")
	}
	w.Policy.FHIR.Send = append(w.Policy.FHIR.Send, "Provenance")
	x := fixture.Export(t, w, fhir.Ask{At: last, Known: last})
	if !strings.Contains(types(x), "Provenance") {
		t.Fatal("not sent")
	}
	parts, err := x.Transactions(fhir.Sending{Mode: fhir.Put, Entries: 8})
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range parts {
		if n := len(fixture.RequestsOf(t, p).Entry); n > 8 {
			t.Errorf("%d entries", n)
		}
	}
	b, err := x.Transaction(fhir.Conditional)
	if err != nil {
		t.Fatal(err)
	}
	if strings.Contains(string(b), `"resourceType":"Provenance"`) {
		t.Error("it has no identifier to be found by, and was sent in mode conditional")
	}
}

func types(x *fhir.Export) string {
	var out []string
	for _, r := range x.Resources {
		out = append(out, r.Type)
	}
	return strings.Join(out, " ")
}
