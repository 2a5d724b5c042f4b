package fhir_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
)

func TestAuditEvent(t *testing.T) {
	p := fixture.WardPolicy(t)
	at := time.Date(2026, 11, 27, 3, 10, 0, 0, time.UTC)
	text, err := fhir.AuditEvent(p, fhir.Audit{Unit: "unit", Position: 7, At: at, Kind: "read", What: "page", Infants: []string{"reed-1"},
		Who: "maeve", LetInBy: "olga", Address: "192.0.2.7"})
	if err != nil {
		t.Fatal(err)
	}
	var got struct {
		ResourceType, ID, Action, Outcome, Recorded string
		Type                                        struct{ System, Code, Display string }
		Agent                                       []struct {
			AltID     string
			Requestor bool
			Network   struct{ Address, Type string }
		}
		Entity []struct {
			What struct {
				Type       string
				Identifier struct{ System, Value string }
			}
			Role struct{ Code string }
		}
	}
	if err := json.Unmarshal(text, &got); err != nil {
		t.Fatal(err)
	}
	if got.ResourceType != "AuditEvent" || got.Action != "R" || got.Outcome != "0" || got.Type.Code != "110110" ||
		got.Type.System != "http://dicom.nema.org/resources/ontology/DCM" || !strings.HasPrefix(got.Recorded, "2026-11-27T0") {
		t.Errorf("%s", text)
	}
	if len(got.Agent) != 2 || !got.Agent[0].Requestor || got.Agent[1].Requestor || got.Agent[0].AltID != "maeve" || got.Agent[1].AltID != "olga" ||
		got.Agent[0].Network.Address != "192.0.2.7" ||
		got.Agent[0].Network.Type != "2" {
		t.Errorf("%s", text)
	}
	if e := got.Entity[0]; e.What.Type != "Patient" || e.What.Identifier.Value == "" || e.Role.Code != "1" ||
		strings.Contains(string(text), "reed-1") {
		t.Errorf("%s", text)
	}
}

// Every kind makes a sound resource; a refusal is told as one.
func TestEveryKindOfAuditEvent(t *testing.T) {
	p := fixture.WardPolicy(t)
	kinds := fhir.AuditKinds()
	if len(kinds) < 20 {
		t.Fatalf("%d kinds", len(kinds))
	}
	ids := map[string]bool{}
	for i, kind := range kinds {
		for j, a := range []fhir.Audit{
			{}, {Who: "lab", Program: true, What: "system/*.rs"}, {Whole: true, Whom: "maeve", Who: "kim", Address: "console"},
		} {
			a.Kind, a.Unit, a.Position, a.At = kind, "unit", int64(i*3+j), time.Unix(1795800000, 0)
			text, err := fhir.AuditEvent(p, a)
			if err != nil {
				t.Errorf("%s: %v", kind, err)
				continue
			}
			var got struct{ ID, Outcome string }
			if err := json.Unmarshal(text, &got); err != nil || ids[got.ID] {
				t.Errorf("%s: %v", text, err)
			}
			ids[got.ID] = true
			refused := slices.Contains([]string{"sign-in-refused", "too-many-tries", "refused", "token-refused"}, kind)
			if (got.Outcome == "4") != refused {
				t.Errorf("%s: outcome %s", kind, got.Outcome)
			}
		}
	}
}

func TestAuditEventOfNoKind(t *testing.T) {
	if _, err := fhir.AuditEvent(fixture.WardPolicy(t), fhir.Audit{Kind: "gossip"}); err == nil {
		t.Error("a kind that nobody knows is taken")
	}
}
