package fhir_test

import (
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/internal/page"
)

// A head and a weight are facts of a later stay too (care-record: discharge): what
// the handover tells of an infant who came back, a receiver holds.
func TestHeadAndWeightOfAnEarlierStay(t *testing.T) {
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000a","infant":"in-a","kind":"head","at":"2026-03-01T09:10:00+01:00","by":"rn-dune","circumferenceCm":25.0}
{"id":"0a5e0001-0000-4000-8000-00000000000b","infant":"in-a","kind":"weight","at":"2026-03-01T09:10:00+01:00","by":"rn-dune","weightG":900}
{"id":"0a5e0001-0000-4000-8000-00000000000c","infant":"in-a","kind":"discharge","at":"2026-03-01T11:00:00+01:00","by":"rn-elder","to":"ward"}
{"id":"0a5e0001-0000-4000-8000-00000000000d","infant":"in-a","kind":"admission","at":"2026-05-02T08:00:00+02:00","by":"rn-dune","born":"2026-03-01T07:00:00+01:00","cot":"2","mrn":"0042"}`
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+more)), Policy: fixture.SendingAll(t)}
	at := fixture.Moment(t, "2026-05-02T09:00:00+02:00")
	h := handover.Compile(w, at, at, at.Add(-12*3600e9))
	if h.Infants[0].Head.Value == nil || h.Infants[0].Weight.Value == nil {
		t.Fatal("the handover does not tell them")
	}
	_, doc := document(t, w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy)}, "in-a")
	var whole strings.Builder
	for _, r := range fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Resources {
		whole.Write(r.JSON)
	}
	for name, s := range map[string]string{"document": string(doc), "transaction": whole.String()} {
		for _, want := range []string{`00000000000a.circumferenceCm"`, `00000000000b.weightG"`} {
			if n := strings.Count(s, want); n != 1 {
				t.Errorf("%s: %s is there %d times", name, want, n)
			}
		}
		if strings.Contains(s, `.spo2Percent"`) || strings.Contains(s, `.use.interface"`) {
			t.Errorf("%s: something else of the earlier stay", name)
		}
	}
}

// A stay that ended within the time for which one who left still stands is told of as if
// the infant had not come back: whole, and closed.
func TestTheStayBeforeIsClosed(t *testing.T) {
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000c","infant":"in-a","kind":"discharge","at":"2026-03-01T11:00:00+01:00","by":"rn-elder","to":"ward"}`
	again := `
{"id":"0a5e0001-0000-4000-8000-00000000000d","infant":"in-a","kind":"admission","at":"2026-03-02T08:00:00+01:00","by":"rn-dune","born":"2026-03-01T07:00:00+01:00","cot":"2","mrn":"0042"}`
	at := fixture.Moment(t, "2026-03-02T09:00:00+01:00")
	export := func(lines string) map[string]string {
		return sent(fixture.Export(t, handover.Ward{Entries: fixture.Entries(t, []byte(lines)), Policy: fixture.SendingAll(t)},
			fhir.Ask{At: at, Known: at}))
	}
	left, back := export(fixture.Small+more), export(fixture.Small+more+again)
	if len(left) < 8 {
		t.Fatalf("%d resources", len(left))
	}
	for key, want := range left {
		if strings.HasPrefix(key, "Basic/") {
			continue
		}
		if back[key] != want {
			t.Errorf("%s: %s, not %s", key, back[key], want)
		}
	}
}
