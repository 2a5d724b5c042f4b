package fhir_test

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
)

// patientEntry is a Patient in a bundle, with its request.
type patientEntry struct {
	FullURL  string `json:"fullUrl"`
	Resource struct {
		ResourceType, ID string
		Active           *bool
		Identifier       []struct{ Use, System, Value string }
		Link             []struct {
			Type  string
			Other struct {
				Reference  string
				Identifier struct{ System, Value string }
			}
		}
	}
	Request struct{ Method, URL, IfNoneExist string }
}

// patientsOf are the Patients of a bundle by their temporary label or hospital number.
func patientsOf(t *testing.T, text []byte) map[string]patientEntry {
	t.Helper()
	var b struct{ Entry []patientEntry }
	if err := json.Unmarshal(text, &b); err != nil {
		t.Fatal(err)
	}
	out := map[string]patientEntry{}
	for _, e := range b.Entry {
		if e.Resource.ResourceType != "Patient" {
			continue
		}
		for _, id := range e.Resource.Identifier {
			if id.Use == "official" || id.Use == "temp" {
				out[id.Value] = e
			}
		}
	}
	return out
}

// An infant under a temporary label is a Patient of ours. Once its number comes, where the
// Patients are the hospital's, that one is no longer active and says which replaces it, and
// the one of the number says what it replaces; R4 (link-type): replaced-by stands in the
// one that must no longer be used, replaces in the one that is current.
func TestALabelIsReplacedByANumber(t *testing.T) {
	lines := strings.Replace(fixture.Small, `"mrn":"0042"`, `"temporary":"Boy one"`, 1) + `
{"id":"0a5e0001-0000-4000-8000-0000000000aa","infant":"in-a","kind":"identity","at":"2026-03-01T11:00:00+01:00","charted":"2026-03-01T11:00:00+01:00","by":"rn-dune","mrn":"0042"}`
	before, after := fixture.Moment(t, "2026-03-01T10:30:00+01:00"), fixture.Moment(t, "2026-03-01T12:00:00+01:00")
	w := handover.Ward{Entries: fixture.Entries(t, []byte(lines)), Policy: fixture.WardPolicy(t)}
	sent := func(mode fhir.Mode, at time.Time) map[string]patientEntry {
		t.Helper()
		b, err := fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Transaction(mode)
		if err != nil {
			t.Fatal(err)
		}
		return patientsOf(t, b)
	}
	for _, mode := range []fhir.Mode{fhir.Put, fhir.Conditional} {
		first, then := sent(mode, before), sent(mode, after)
		old, now := then["Boy one"], then["0042"]
		if len(first) != 1 || len(then) != 2 {
			t.Fatalf("%s: %d Patients, then %d", mode, len(first), len(then))
		}
		if d := cmp.Diff(first["Boy one"].Request, old.Request); d != "" || old.Request.Method != "PUT" || old.Request.IfNoneExist != "" {
			t.Errorf("%s: the Patient of the label is sent otherwise: %s", mode, d)
		}
		if a := old.Resource.Active; a == nil || *a || len(old.Resource.Link) != 1 || old.Resource.Link[0].Type != "replaced-by" ||
			old.Resource.Link[0].Other.Reference != now.FullURL {
			t.Errorf("%s: %+v", mode, old.Resource)
		}
		if now.Resource.Active != nil || len(now.Resource.Link) != 1 || now.Resource.Link[0].Type != "replaces" ||
			now.Resource.Link[0].Other.Identifier.Value != old.Resource.Identifier[0].Value || now.Request.Method != "POST" {
			t.Errorf("%s: %+v", mode, now)
		}
		for _, id := range old.Resource.Identifier { // a search by it would find two
			for _, other := range now.Resource.Identifier {
				if id == other {
					t.Errorf("%s: both have %v", mode, id)
				}
			}
		}
	}
	for _, policy := range []string{fhir.PatientsOurs, "match"} {
		w.Policy.FHIR.Patients = policy
		for _, r := range fixture.Export(t, w, fhir.Ask{At: after, Known: after}).Resources {
			if r.Type == "Patient" && strings.Contains(string(r.JSON), `"link"`) {
				t.Errorf("%s: %s", policy, r.JSON)
			}
		}
	}
}

// A label that was charted in error never stood, and one beside a number is no Patient.
func TestNoPatientOfALabelThatNeverStood(t *testing.T) {
	at := fixture.Moment(t, "2026-03-01T12:00:00+01:00")
	for name, more := range map[string]string{
		"beside the number": `
{"id":"0a5e0001-0000-4000-8000-0000000000aa","infant":"in-a","kind":"identity","at":"2026-03-01T11:00:00+01:00","by":"rn-dune","temporary":"Boy one"}`,
		"at the moment": `
{"id":"0a5e0001-0000-4000-8000-0000000000ab","infant":"in-a","kind":"identity","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","mrn":"0042"}`,
		"corrected": `
{"id":"0a5e0001-0000-4000-8000-0000000000ac","infant":"in-a","kind":"correction","at":"2026-03-01T11:00:00+01:00","by":"rn-dune","of":"0a5e0001-0000-4000-8000-000000000001","reason":"it had a number","entry":{"kind":"admission","at":"2026-03-01T08:00:00+01:00","born":"2026-03-01T07:00:00+01:00","cot":"1","mrn":"0042"}}`,
	} {
		lines := fixture.Small
		if name != "beside the number" {
			lines = strings.Replace(lines, `"mrn":"0042"`, `"temporary":"Boy one"`, 1)
		}
		w := handover.Ward{Entries: fixture.Entries(t, []byte(lines+more)), Policy: fixture.WardPolicy(t)}
		b, err := fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Transaction(fhir.Put)
		if err != nil {
			t.Fatal(err)
		}
		if p := patientsOf(t, b); len(p) != 1 || p["0042"].Resource.Link != nil {
			t.Errorf("%s: %+v", name, p)
		}
	}
}
