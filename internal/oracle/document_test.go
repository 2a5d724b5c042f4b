package oracle

import (
	"testing"

	"github.com/google/fhir/go/fhirversion"
	"github.com/google/fhir/go/jsonformat"

	"cotline/fhir"
	"cotline/internal/page"
	"cotline/internal/wardtest"
)

// A document of each infant of the demo ward is read whole.
func TestEveryDocumentIsRead(t *testing.T) {
	read, err := jsonformat.NewUnmarshaller("Europe/Vienna", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	demo := wardtest.Demo(t)
	w, h := demo.Ward, demo.Handover
	for _, s := range h.Infants {
		b, err := fhir.Document(w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy), Entries: true}, s.Infant)
		if err != nil {
			t.Fatalf("%s: %v", s.Infant, err)
		}
		if _, err := read.Unmarshal(b); err != nil {
			t.Errorf("%s: %v", s.Infant, err)
		}
	}
	if len(h.Infants) == 0 {
		t.Error("no infants")
	}
}
