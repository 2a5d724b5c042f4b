//go:build outside

package oracle

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/handover/entry"
)

// change is a ward over a night in which something that had been sent in the
// evening was corrected, and something withdrawn.
type change struct {
	before, delta, after *fhir.Export
	left                 []*fhir.Export // of infants whom the delta alone tells of: what that refers to
}

// amended is a random ward, with a pressure corrected to 5.0, a round of
// observations withdrawn, and so an interface. What the correction leaves out goes.
// Every type is sent.
func amended(t testing.TB) change {
	t.Helper()
	return nights.of(func() change { return amend(t) })
}

var nights kept[change]

func amend(t testing.TB) change {
	t.Helper()
	lines := randomLines(1)
	w := everyType(recorded(t, lines))
	at := lastMoment(w)
	evening := at.Add(-12 * time.Hour)
	ask := fhir.Ask{At: evening, Known: evening}
	sent := map[string]bool{} // what stands uncorrected in the evening
	for _, r := range exported(t, w, ask).Resources {
		sent[r.Identifier.Value] = !strings.Contains(string(r.JSON), `"status":"corrected"`)
	}
	of := func(kind, role string) *entry.Entry {
		for _, e := range w.Entries {
			if e.Kind == kind && sent[e.ID+"."+role] {
				return e
			}
		}
		t.Fatalf("no %s of the evening has %s", kind, role)
		return nil
	}
	settings, round, face := of("settings", "pressureCmH2O"), of("observations", "index.sf"), of("interface", "use.interface")
	more := fmt.Sprintf(`
{"id":"5e4f0000-0000-4000-8000-000000000001","infant":%q,"kind":"correction","at":%q,"by":"rn-agate","of":%q,"reason":"misread","entry":{"kind":"settings","at":%q,"pressureCmH2O":5.0}}
{"id":"5e4f0000-0000-4000-8000-000000000002","infant":%q,"kind":"retraction","at":%q,"by":"rn-agate","of":%q,"reason":"another infant's"}
{"id":"5e4f0000-0000-4000-8000-000000000003","infant":%q,"kind":"retraction","at":%q,"by":"rn-agate","of":%q,"reason":"never put on"}
`,
		settings.Infant, at.Format(time.RFC3339), settings.ID, settings.At.Text,
		round.Infant, at.Format(time.RFC3339), round.ID, face.Infant, at.Format(time.RFC3339), face.ID)
	before := exported(t, w, ask)
	w = everyType(recorded(t, append(lines, strings.TrimPrefix(more, "\n")...)))
	ask = fhir.Ask{At: at, Known: at}
	delta, err := fhir.Delta(w, evening, ask)
	if err != nil {
		t.Fatal(err)
	}
	c := change{before: before, delta: delta, after: exported(t, w, ask)}
	here := map[string]bool{}
	for _, r := range slices.Concat(before.Resources, c.after.Resources) {
		here[r.Infant] = here[r.Infant] || r.Type == "Patient"
	}
	for _, r := range delta.Resources {
		if r.Infant != "" && !here[r.Infant] {
			here[r.Infant] = true
			c.left = append(c.left, exported(t, w, fhir.Ask{At: at, Known: at, Infant: r.Infant}))
		}
	}
	return c
}
