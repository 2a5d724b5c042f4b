package oracle

import (
	"bytes"
	"testing"
	"time"

	"github.com/google/fhir/go/fhirversion"
	"github.com/google/fhir/go/jsonformat"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/intake"
	"cotline/internal/ward"
)

// A document of each infant of the demo ward is read whole.
func TestEveryDocumentIsRead(t *testing.T) {
	read, err := jsonformat.NewUnmarshaller("Europe/Vienna", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	text, lines := ward.Demo()
	policy, issues := intake.Policy(text)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	offer, err := intake.Record(bytes.NewReader(lines), policy.ClockTolerance)
	if err != nil || len(offer.Issues) > 0 {
		t.Fatal(err, offer.Issues)
	}
	at, err := time.Parse(time.RFC3339, ward.DemoAt)
	if err != nil {
		t.Fatal(err)
	}
	w := handover.Ward{Entries: offer.Entries, Policy: policy}
	h := handover.Compile(w, at, at, time.Time{})
	for _, s := range h.Infants {
		b, err := fhir.Document(w, fhir.Edition{Handover: h}, s.Infant)
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
