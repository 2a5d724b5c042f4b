package read_test

import (
	"strings"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/read"
	"cotline/handover"
	"cotline/internal/page"
)

// A document without its entries is told by name, by its own unit and by another; one
// with them is not.
func TestDocumentsToBeReadAreTold(t *testing.T) {
	w, ask := fixture.Demo(t)
	h := handover.Compile(w, ask.At, ask.Known, ask.At.Add(-12*time.Hour))
	elsewhere := *w.Policy
	elsewhere.FHIR.Base = "https://elsewhere.example/fhir"
	for _, policy := range []*handover.Policy{w.Policy, &elsewhere} {
		for _, carry := range []bool{false, true} {
			b, err := fhir.Document(w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy), Entries: carry}, h.Infants[0].Infant)
			if err != nil {
				t.Fatal(err)
			}
			r := readJSON(b, read.Given{Policy: policy})
			if len(r.Issues) > 0 || carry != (len(r.Entries) > 0) {
				t.Errorf("entries carried: %v: %d entries, %v", carry, len(r.Entries), r.Issues)
			}
			told := 0
			for _, a := range r.Aside {
				if a.Found == "Composition" && strings.Contains(a.Allowed, "without the care entries") && a.Line == 2 {
					told++
				}
			}
			if (told == 1) == carry {
				t.Errorf("entries carried: %v: told %d times: %v", carry, told, r.Aside)
			}
		}
	}
}
