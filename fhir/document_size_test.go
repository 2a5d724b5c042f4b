package fhir_test

import (
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/internal/page"
)

// longStay is a stay after which a document was too long to be read.
const longStay = 23 * 24 * time.Hour

// mostOfADocument is what one infant's document may take after such a stay, without the
// entries: what a mail or a portal takes, and a reader opens at once.
const mostOfADocument = 400_000 // bytes

// A document does not grow with the stay.
func TestDocumentsAreShort(t *testing.T) {
	largest, long := 0, 0
	hold := func(where string, w handover.Ward, at time.Time) {
		h := handover.Compile(w, at, at, time.Time{})
		began := map[string]time.Time{}
		for _, e := range w.Entries {
			if e.Kind == "admission" && !e.At.After(at) {
				began[e.Infant] = e.At.Time
			}
		}
		for _, s := range h.Infants {
			if at.Sub(began[s.Infant]) < longStay {
				continue
			}
			long++
			_, b := document(t, w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy)}, s.Infant)
			largest = max(largest, len(b))
			if len(b) > mostOfADocument {
				t.Errorf("%s, %s: %d bytes, at most %d", where, s.Infant, len(b), mostOfADocument)
			}
		}
	}
	w, ask := fixture.Demo(t)
	hold("demo", w, ask.At)
	for seed := range fixture.Seeds(1, 3) {
		w, last := fixture.Random(t, seed, 5, 28)
		hold("random", w, last)
	}
	if long < 8 {
		t.Errorf("only %d infants stayed so long", long)
	}
	t.Logf("%d infants, at most %d bytes", long, largest)
}
