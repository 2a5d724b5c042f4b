package fhir_test

import (
	"encoding/json"
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/handover/entry"
)

// The indices at a reading of SpO2 are those that the engine tells at its moment.
func TestIndicesAreTheEngines(t *testing.T) {
	w, last := fixture.Random(t, 3, 3, 2)
	w.Policy.Indices = []string{"sf", "severity", "osi"}
	sent := map[string]string{}
	for _, r := range fixture.Export(t, w, fhir.Ask{At: last, Known: last}).Resources {
		var o struct {
			ValueQuantity *struct{ Value json.Number }
		}
		if err := json.Unmarshal(r.JSON, &o); err == nil && o.ValueQuantity != nil {
			sent[r.Identifier.Value] = o.ValueQuantity.Value.String()
		}
	}
	compared := 0
	for _, record := range entry.Replay(w.Entries, last).Infants {
		stay := record.Admitted(last)
		if stay == nil {
			continue
		}
		for _, e := range record.Of(stay, last) {
			if e.Kind != "observations" || !e.Has("spo2Percent") {
				continue
			}
			for _, s := range handover.Compile(w, e.At.Time, last, e.At.Time).Infants {
				v := s.Indices.Value
				if s.Infant != record.Infant || v == nil || v.Entry != e.ID {
					continue
				}
				compared++
				for role, want := range map[string]handover.Maybe[entry.Decimal]{"index.sf": v.SF, "index.severity": v.Severity,
					"index.osi": v.OSI} {
					said := ""
					if want.Value != nil {
						said = want.Value.String()
					}
					if got := sent[e.ID+"."+role]; got != said {
						t.Errorf("%s of %s: sent %q, the engine tells %q", role, e.ID, got, said)
					}
				}
			}
		}
	}
	if compared < 20 {
		t.Errorf("only %d readings were compared", compared)
	}
}

// A figure of two values that one corrected entry set says once that it was corrected.
func TestFigureOfACorrectedEntry(t *testing.T) {
	entries := fixture.Entries(t, []byte(`{"id":"0a5e0009-0000-4000-8000-000000000001","infant":"in-a","kind":"admission",`+
		`"at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-03-01","cot":"1","mrn":"77"}
{"id":"0a5e0009-0000-4000-8000-000000000002","infant":"in-a","kind":"support","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","state":"started","mode":"cpap"}
{"id":"0a5e0009-0000-4000-8000-000000000003","infant":"in-a","kind":"settings","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","pressureCmH2O":6,"fio2Percent":82}
{"id":"0a5e0009-0000-4000-8000-000000000004","infant":"in-a","kind":"correction","at":"2026-03-01T08:10:00+01:00","by":"rn-dune","of":"0a5e0009-0000-4000-8000-000000000003","reason":"turned round","entry":{"kind":"settings","at":"2026-03-01T08:00:00+01:00","pressureCmH2O":6,"fio2Percent":28}}
{"id":"0a5e0009-0000-4000-8000-000000000005","infant":"in-a","kind":"observations","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","spo2Percent":93}
`))
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	found := false
	for _, r := range fixture.Export(t, handover.Ward{Entries: entries, Policy: fixture.WardPolicy(t)},
		fhir.Ask{At: at, Known: at}).Resources {
		if !strings.HasSuffix(r.Identifier.Value, ".index.severity") {
			continue
		}
		found = true
		if n := strings.Count(string(r.JSON), `"text":"Corrected: turned round"`); n != 1 {
			t.Errorf("said %d times: %s", n, r.JSON)
		}
	}
	if !found {
		t.Error("no severity score was sent")
	}
}
