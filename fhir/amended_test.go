package fhir_test

import (
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
)

// A correction that is taken back is told by a version that is later still: R4 has
// issued say when this version was made available, and a receiver that held the
// corrected one would take an older one for stale. Nothing is final again.
func TestCorrectionTakenBack(t *testing.T) {
	const weight = "0a5e0001-0000-4000-8000-00000000000a"
	more := `
{"id":"` + weight + `","infant":"in-a","kind":"weight","at":"2026-03-01T09:10:00+01:00","by":"rn-dune","weightG":900}
{"id":"0a5e0001-0000-4000-8000-00000000000b","infant":"in-a","kind":"correction","at":"2026-03-01T11:00:00+01:00","by":"rn-elder","of":"` + weight + `","reason":"first","entry":{"kind":"weight","at":"2026-03-01T09:10:00+01:00","weightG":910}}
{"id":"0a5e0001-0000-4000-8000-00000000000c","infant":"in-a","kind":"correction","at":"2026-03-01T12:00:00+01:00","by":"rn-elder","of":"` + weight + `","reason":"second","entry":{"kind":"weight","at":"2026-03-01T09:10:00+01:00","weightG":920}}
{"id":"0a5e0001-0000-4000-8000-00000000000d","infant":"in-a","kind":"retraction","at":"2026-03-01T13:00:00+01:00","by":"rn-dune","of":"0a5e0001-0000-4000-8000-00000000000c","reason":"not so"}
{"id":"0a5e0001-0000-4000-8000-00000000000e","infant":"in-a","kind":"retraction","at":"2026-03-01T14:00:00+01:00","by":"rn-dune","of":"0a5e0001-0000-4000-8000-00000000000b","reason":"nor this"}`
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+more)), Policy: fixture.SendingAll(t)}
	for _, c := range []struct{ known, status, value, issued, note, not string }{
		{"10:00", "final", "900", "09:10", "", "Corrected"},
		{"11:00", "corrected", "910", "11:00", "Corrected: first", "second"},
		{"12:00", "corrected", "920", "12:00", "Corrected: second", "first"},
		{"13:00", "corrected", "910", "13:00", "Correction withdrawn: not so", "second"},
		{"14:00", "corrected", "900", "14:00", "Correction withdrawn: nor this", "Corrected: "},
	} {
		at := fixture.Moment(t, "2026-03-01T"+c.known+":00+01:00")
		x := fixture.Export(t, w, fhir.Ask{At: at, Known: at})
		amended := 0
		for _, r := range x.Resources {
			s := string(r.JSON)
			switch {
			case r.Identifier.Value == weight+".weightG":
				for _, want := range []string{`"status":"` + c.status + `"`, `"value":` + c.value + `,`,
					`"issued":"2026-03-01T` + c.issued, c.note} {
					if !strings.Contains(s, want) {
						t.Errorf("known at %s: no %s in %s", c.known, want, s)
					}
				}
				if strings.Contains(fixture.Between(s, `"note":`, `]`), c.not) {
					t.Errorf("known at %s: %s in %s", c.known, c.not, s)
				}
			case r.Type == "Provenance":
				amended++
			}
		}
		want := map[string]int{"10:00": 0, "11:00": 1, "12:00": 2, "13:00": 3, "14:00": 4}[c.known]
		if amended != want {
			t.Errorf("known at %s: %d Provenance, not %d", c.known, amended, want)
		}
	}
}

// The narrative of what is withdrawn says who withdrew it and when, and who had charted
// it, whoever of them it was; never that it was charted at the moment of the withdrawal.
func TestNarrativeOfWithdrawal(t *testing.T) {
	for by, name := range map[string]string{"rn-elder": "Nurse Elder", "rn-dune": "Nurse Dune"} {
		more := `
{"id":"0a5e0001-0000-4000-8000-00000000000a","infant":"in-a","kind":"retraction","at":"2026-03-01T11:00:00+01:00","by":"` + by +
			`","of":"0a5e0001-0000-4000-8000-000000000003","reason":"the other twin"}
{"id":"0a5e0001-0000-4000-8000-00000000000c","infant":"in-a","kind":"task","at":"2026-03-01T09:30:00+01:00","by":"rn-dune","text":"Send the swab"}
{"id":"0a5e0001-0000-4000-8000-00000000000d","infant":"in-a","kind":"retraction","at":"2026-03-01T11:00:00+01:00","by":"` + by +
			`","of":"0a5e0001-0000-4000-8000-00000000000c","reason":"the other twin"}`
		w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+more)), Policy: fixture.SendingAll(t)}
		at := fixture.Moment(t, "2026-03-01T12:00:00+01:00")
		seen := map[string]bool{}
		for _, r := range fixture.Delta(t, w, fixture.Moment(t, "2026-03-01T10:00:00+01:00"), fhir.Ask{At: at, Known: at}).Resources {
			s := string(r.JSON)
			div := fixture.Between(s, `"div":"`, `</div>`)
			if !strings.Contains(s, `"text":"Withdrawn: the other twin"`) {
				continue
			}
			seen[r.Type] = true
			if !strings.Contains(div, "charted by: Nurse Dune") ||
				!strings.Contains(div, "Withdrawn: the other twin, 2026-03-01T11:00:00+01:00, by: "+name) ||
				strings.Count(div, "11:00:00") != 1 {
				t.Errorf("withdrawn by %s: %s", by, div)
			}
		}
		if len(seen) != 3 {
			t.Errorf("withdrawn: %v", seen)
		}
	}
}

// A driver belongs to no infant: what was charted of it in error on one says nothing of
// the thing, which others use.
func TestDriverIsNotWithdrawn(t *testing.T) {
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000a","infant":"in-a","kind":"retraction","at":"2026-03-01T11:00:00+01:00","by":"rn-elder","of":"0a5e0001-0000-4000-8000-000000000002","reason":"the other twin"}`
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+more)), Policy: fixture.WardPolicy(t)}
	at := fixture.Moment(t, "2026-03-01T12:00:00+01:00")
	gone := map[string]bool{}
	for _, r := range fixture.Delta(t, w, fixture.Moment(t, "2026-03-01T10:00:00+01:00"), fhir.Ask{At: at, Known: at}).Resources {
		if strings.Contains(string(r.JSON), `"status":"entered-in-error"`) {
			gone[r.Type] = true
		}
		if r.Type == "Device" && r.Infant == "" && strings.Contains(string(r.JSON), `"entered-in-error"`) {
			t.Errorf("withdrawn: %s", r.JSON)
		}
	}
	if !gone["DeviceUseStatement"] || !gone["Observation"] {
		t.Errorf("withdrawn: %v", gone)
	}
}
