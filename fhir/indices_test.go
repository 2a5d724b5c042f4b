package fhir_test

import (
	"encoding/json"
	"testing"

	"cotline/fhir"
	"cotline/handover"
)

// The indices at a reading of SpO2 are those that the engine tells at its moment.
func TestIndicesAreTheEngines(t *testing.T) {
	w, last := random(t, 3, 3, 2)
	w.Policy.Indices = []string{"sf", "severity", "osi"}
	sent := map[string]string{}
	for _, r := range export(t, w, fhir.Ask{At: last, Known: last}).Resources {
		var o struct {
			ValueQuantity *struct{ Value json.Number }
		}
		if err := json.Unmarshal(r.JSON, &o); err == nil && o.ValueQuantity != nil {
			sent[r.Identifier.Value] = o.ValueQuantity.Value.String()
		}
	}
	compared := 0
	for _, record := range handover.Replay(w.Entries, last).Infants {
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
				for role, want := range map[string]handover.Maybe[handover.Decimal]{"index.sf": v.SF, "index.severity": v.Severity, "index.osi": v.OSI} {
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
