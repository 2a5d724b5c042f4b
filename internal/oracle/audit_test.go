package oracle

import (
	"slices"
	"testing"
	"time"

	"github.com/google/fhir/go/fhirversion"
	"github.com/google/fhir/go/jsonformat"
	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
)

// auditEvents are one of each kind of event of the trace, in several shapes.
func auditEvents(t *testing.T) (out [][]byte) {
	t.Helper()
	w, _ := demo(t)
	kinds := fhir.AuditKinds()
	slices.Sort(kinds)
	for i, kind := range kinds {
		for j, a := range []fhir.Audit{
			{Who: "maeve", Infants: []string{"reed-1", "sedge-2"}, What: "page", LetInBy: "olga", Address: "192.0.2.7"},
			{Whole: true, Who: "lab", Program: true, Address: "2001:db8::1"}, {Whom: "maeve", Address: "console"},
		} {
			a.Unit, a.Position, a.Kind, a.At = "unit", int64(1+3*i+j), kind, time.Unix(1795800000, 0)
			text, err := fhir.AuditEvent(w.Policy, a)
			if err != nil {
				t.Fatal(kind, err)
			}
			out = append(out, text)
		}
	}
	return out
}

func TestAuditEventsAreRead(t *testing.T) {
	read, err := jsonformat.NewUnmarshaller("Europe/Vienna", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	write, err := jsonformat.NewMarshaller(false, "", "", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	for _, text := range auditEvents(t) {
		m, err := read.Unmarshal(text)
		if err != nil {
			t.Fatalf("%v\n%s", err, text)
		}
		back, err := write.Marshal(m)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(tree(t, text), tree(t, back)); d != "" {
			t.Errorf("it came back changed: %s", d)
		}
	}
}
