package fhir_test

import (
	"encoding/json"
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"
)

type documentForm struct {
	Type      string
	Timestamp string
	Entry     []struct {
		Resource struct {
			ResourceType, ID, Status string
			Identifier               json.RawMessage
			Section                  []struct {
				Title string
				Text  struct{ Div string }
				Entry []struct{ Reference string }
			}
		}
	}
}

func document(t testing.TB, w handover.Ward, issue fhir.Edition, infant string) (documentForm, []byte) {
	t.Helper()
	b, err := fhir.Document(w, issue, infant)
	if err != nil {
		t.Fatal(err)
	}
	var d documentForm
	if err := json.Unmarshal(b, &d); err != nil {
		t.Fatal(err)
	}
	return d, b
}

// A document of each infant of the demo ward holds what the transaction holds, and
// beyond that only what is of the handover.
func TestDocumentsOfTheDemoWard(t *testing.T) {
	w, ask := fixture.Demo(t)
	h := handover.Compile(w, ask.At, ask.Known, ask.At.Add(-12*3600e9))
	whole := map[string]map[string]bool{}
	for _, r := range fixture.Export(t, w, ask).Resources {
		if whole[r.Infant] == nil {
			whole[r.Infant] = map[string]bool{}
		}
		if r.Type != "Basic" && r.Model.Status != "entered-in-error" { // what was moved to another infant, or withdrawn, is not in the document
			whole[r.Infant][r.Type+"/"+r.ID] = true
		}
	}
	records := entry.Replay(w.Entries, ask.Known)
	for _, s := range h.Infants {
		if len(records.Of(s.Infant).Stays(ask.At)) > 1 { // a transaction tells of the stay before, too
			whole[s.Infant] = nil
		}
		d, _ := document(t, w, fhir.Edition{Handover: h}, s.Infant)
		in := map[string]bool{}
		computed := 0
		for _, e := range d.Entry {
			r := e.Resource
			in[r.ResourceType+"/"+r.ID] = true
			if r.ResourceType == "Observation" && !whole[s.Infant]["Observation/"+r.ID] {
				computed++
			}
		}
		for k := range whole[s.Infant] {
			if !in[k] {
				t.Errorf("%s: %s is not in the document", s.Infant, k)
			}
		}
		if computed < 3 {
			t.Errorf("%s: only %d figures of the handover", s.Infant, computed)
		}
		composition := d.Entry[0].Resource
		if composition.ResourceType != "Composition" || composition.Status != "preliminary" || len(composition.Section) != 12 {
			t.Errorf("%s: %s %s, %d sections", s.Infant, composition.ResourceType, composition.Status, len(composition.Section))
		}
	}
}

func TestDocumentSaysWhatWasCorrected(t *testing.T) {
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000b","infant":"in-a","kind":"correction","at":"2026-03-01T09:30:00+01:00","by":"rn-elder","of":"0a5e0001-0000-4000-8000-000000000005","reason":"misread","entry":{"kind":"observations","at":"2026-03-01T09:00:00+01:00","spo2Percent":94,"heartRateBpm":151}}
{"id":"0a5e0001-0000-4000-8000-00000000000c","kind":"handover","at":"2026-03-01T10:00:00+01:00","by":"rn-dune","to":"rn-elder","asOf":"2026-03-01T10:00:00+01:00","infants":["in-a"]}
{"id":"0a5e0001-0000-4000-8000-00000000000d","kind":"acceptance","at":"2026-03-01T10:05:00+01:00","by":"rn-elder","handover":"0a5e0001-0000-4000-8000-00000000000c","infants":["in-a"]}`
	entries := fixture.Entries(t, []byte(fixture.Small+more))
	w := handover.Ward{Entries: entries, Policy: fixture.WardPolicy(t)}
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	h := handover.Compile(w, at, at, at.Add(-12*3600e9))
	issue := fhir.Edition{Handover: h, Signed: entries[len(entries)-2], Accepted: entries[len(entries)-1:]}
	_, b := document(t, w, issue, "in-a")
	s := string(b)
	if _, again := document(t, w, issue, "in-a"); string(again) != s {
		t.Error("other bytes from the same handover")
	}
	for _, want := range []string{
		`"resourceType":"Provenance"`, `"recorded":"2026-03-01T09:30:00+01:00"`, `"text":"misread"`,
		`"attester":[{"mode":"professional","time":"2026-03-01T10:00:00+01:00"`, `"time":"2026-03-01T10:05:00+01:00"`,
		`"code":"61143-4","display":"Nurse Summary note"`, `SpO2: 94 %`, `S/F`,
	} {
		if want == `S/F` {
			want = `SpO2/FiO2 ratio: 376.00`
		}
		if !strings.Contains(s, want) {
			t.Errorf("%s is missing", want)
		}
	}
	if composition := fixture.After(s, `"resourceType":"Composition"`); !strings.Contains(
		composition[:strings.Index(composition, `"section"`)], `"status":"final"`) {
		t.Error("a signed handover is not final")
	}
	if _, err := fhir.Document(w, fhir.Edition{Handover: h}, "in-z"); err == nil {
		t.Error("a document of an infant who is not there")
	}
}

// What no section leads to is named.
func TestCheckNamesWhatIsNotReached(t *testing.T) {
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small)), Policy: fixture.WardPolicy(t)}
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	h := handover.Compile(w, at, at, at.Add(-12*3600e9))
	_, b := document(t, w, fhir.Edition{Handover: h}, "in-a")
	beat := string(b)[:strings.Index(string(b), `.heartRateBpm"`)]
	id := fixture.Between(beat[strings.LastIndex(beat, `"id":"`):], `"id":"`, `"`)
	bad := strings.Replace(string(b), `{"reference":"urn:uuid:`+id+`"},`, "", 1)
	if bad == string(b) {
		t.Fatal("nothing was planted")
	}
	for _, f := range r4.Check([]byte(bad)) {
		if strings.Contains(f.Says, "not reached") {
			return
		}
	}
	t.Error("not named")
}
