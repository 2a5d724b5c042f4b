package fhir_test

import (
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
)

// The Flags of an infant who is held back, for another one has its number, end like any
// other: whichever differences a receiver asks for, it is left with none that is over.
func TestFlagsOfWhoIsHeldBackEnd(t *testing.T) {
	const ward = `
{"id":"0a5e0008-0000-4000-8000-000000000001","infant":"in-a","kind":"admission","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-03-01","cot":"1","mrn":"7712"}
{"id":"0a5e0008-0000-4000-8000-000000000002","infant":"in-b","kind":"admission","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-02-01","cot":"2","mrn":"7713"}
{"id":"0a5e0008-0000-4000-8000-000000000003","infant":"in-b","kind":"identity","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","mrn":"7712"}`
	const renumbered = `
{"id":"0a5e0008-0000-4000-8000-000000000004","infant":"in-b","kind":"identity","at":"2026-03-01T10:00:00+01:00","by":"rn-dune","mrn":"8999"}
`
	const left = `
{"id":"0a5e0008-0000-4000-8000-000000000005","infant":"in-b","kind":"discharge","at":"2026-03-01T10:00:00+01:00","by":"rn-dune","to":"ward"}
`
	for name, more := range map[string]string{"another number": renumbered, "left, with the number": left} {
		w := handover.Ward{Entries: fixture.Entries(t, []byte(ward+more)), Policy: fixture.SendingAll(t)}
		for _, asked := range [][]string{{"10:30"}, {"09:30", "10:30"}, {"09:30", "09:40", "10:30", "11:00"}} {
			since := fixture.Moment(t, "2026-03-01T08:30:00+01:00")
			flags := map[string]string{}
			for _, r := range fixture.Export(t, w, fhir.Ask{At: since, Known: since}).Resources {
				if r.Type == "Flag" {
					flags[r.ID] = string(r.JSON)
				}
			}
			if len(flags) != 2 {
				t.Fatalf("%d Flags", len(flags))
			}
			for _, clock := range asked {
				at := fixture.Moment(t, "2026-03-01T"+clock+":00+01:00")
				d := fixture.Delta(t, w, since, fhir.Ask{At: at, Known: at})
				if clock == "09:30" && len(d.Held) != 2 {
					t.Fatalf("held back: %v", d.Held)
				}
				if _, err := d.Transaction(fhir.Put); err != nil {
					t.Fatal(err)
				}
				for _, r := range d.Resources {
					if r.Type == "Flag" {
						flags[r.ID] = string(r.JSON)
					}
				}
				since = at
			}
			for _, f := range flags {
				if !strings.Contains(f, `"status":"inactive"`) || !strings.Contains(f, `"end":"2026-03-01T10:00:00+01:00"`) {
					t.Errorf("%s, asked at %v: %s", name, asked, f)
				}
			}
		}
	}
}
