package fhir_test

import (
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
)

// R4, observation-status: a final Observation is complete; one whose value is another
// later is amended, or corrected. An index changes with what was set, charted late or
// taken back; where it was never told otherwise it is final.
func TestIndexComputedAnew(t *testing.T) {
	const ward = `{"id":"0a5e0009-0000-4000-8000-000000000001","infant":"in-a","kind":"admission","at":"2026-03-01T08:00:00+01:00",` +
		`"by":"rn-dune","born":"2026-03-01","cot":"1","mrn":"77"}
{"id":"0a5e0009-0000-4000-8000-000000000002","infant":"in-a","kind":"support","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","state":"started","mode":"cpap"}
{"id":"0a5e0009-0000-4000-8000-000000000003","infant":"in-a","kind":"settings","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","pressureCmH2O":6,"fio2Percent":30}
{"id":"0a5e0009-0000-4000-8000-000000000005","infant":"in-a","kind":"observations","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","spo2Percent":90}
`
	const late = `{"id":"0a5e0009-0000-4000-8000-000000000006","infant":"in-a","kind":"settings","at":"2026-03-01T08:30:00+01:00",` +
		`"charted":"2026-03-01T10:00:00+01:00","by":"rn-dune","fio2Percent":40}
`
	const takenBack = `{"id":"0a5e0009-0000-4000-8000-000000000007","infant":"in-a","kind":"retraction",` +
		`"at":"2026-03-01T11:00:00+01:00","by":"rn-dune","of":"0a5e0009-0000-4000-8000-000000000006","reason":"the other twin"}
`
	first := strings.Replace(late, "T10:00:00", "T08:31:00", 1) // in time
	for _, c := range []struct{ name, entries, known, sf, status, issued string }{
		{"before", ward + late + takenBack, "09:30", "300", "final", "09:00"},
		{"charted late", ward + late + takenBack, "10:30", "225", "amended", "10:00"},
		{"taken back", ward + late + takenBack, "11:30", "300", "amended", "11:00"},
		{"charted in time", ward + first, "11:30", "225", "final", "09:00"},
		{"in time, taken back", ward + first + takenBack, "11:30", "300", "amended", "11:00"},
		{"another field, late", ward + strings.Replace(late, `"fio2Percent":40`, `"flowLMin":8`, 1), "11:30", "300", "final", "09:00"},
	} {
		at := fixture.Moment(t, "2026-03-01T"+c.known+":00+01:00")
		w := handover.Ward{Entries: fixture.Entries(t, []byte(c.entries)), Policy: fixture.WardPolicy(t)}
		found := false
		for _, r := range fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Resources {
			if !strings.HasSuffix(r.Identifier.Value, ".index.sf") {
				continue
			}
			found = true
			for _, want := range []string{`"value":` + c.sf + `.00`, `"status":"` + c.status + `"`, `"issued":"2026-03-01T` + c.issued} {
				if !strings.Contains(string(r.JSON), want) {
					t.Errorf("%s: no %s in %s", c.name, want, r.JSON)
				}
			}
		}
		if !found {
			t.Errorf("%s: no index", c.name)
		}
	}
}

// An index that can be had no longer, though its reading stands, is withdrawn by the entry
// that took away what it stood on: who charted that, when and why.
func TestIndexGoneSaysWhy(t *testing.T) {
	const ward = `
{"id":"0a5e0009-0000-4000-8000-000000000001","infant":"in-a","kind":"admission","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-03-01","cot":"1","mrn":"77"}
{"id":"0a5e0009-0000-4000-8000-000000000002","infant":"in-a","kind":"support","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","state":"started","mode":"cpap"}
{"id":"0a5e0009-0000-4000-8000-000000000003","infant":"in-a","kind":"settings","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","pressureCmH2O":6,"fio2Percent":30}
{"id":"0a5e0009-0000-4000-8000-000000000005","infant":"in-a","kind":"observations","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","spo2Percent":90}
`
	entry := func(rest string) string {
		return `{"id":"0a5e0009-0000-4000-8000-000000000006","infant":"in-a","charted":"2026-03-01T10:00:00+01:00",` +
			`"by":"rn-elder",` + rest + "}\n"
	}
	for name, c := range map[string]struct{ more, why string }{
		"settings withdrawn": {entry(`"at":"2026-03-01T10:00:00+01:00","kind":"retraction",` +
			`"of":"0a5e0009-0000-4000-8000-000000000003","reason":"the other twin"`),
			"Withdrawn: it can be computed no longer, for what it stood on was withdrawn: the other twin"},
		"settings corrected": {entry(`"at":"2026-03-01T10:00:00+01:00","kind":"correction",` +
			`"of":"0a5e0009-0000-4000-8000-000000000003","reason":"not read",` +
			`"entry":{"kind":"settings","at":"2026-03-01T08:00:00+01:00","pressureCmH2O":6}`),
			"Withdrawn: it can be computed no longer, for what it stood on was corrected: not read"},
		"a stop charted late": {entry(`"at":"2026-03-01T08:40:00+01:00","kind":"support","state":"stopped","reason":"weaned"`),
			"Withdrawn: it can be computed no longer, for what it stood on was charted later"},
	} {
		w := handover.Ward{Entries: fixture.Entries(t, []byte(ward+c.more)), Policy: fixture.WardPolicy(t)}
		since, at := fixture.Moment(t, "2026-03-01T09:30:00+01:00"), fixture.Moment(t, "2026-03-01T10:30:00+01:00")
		found := false
		for _, r := range fixture.Delta(t, w, since, fhir.Ask{At: at, Known: at}).Resources {
			if !strings.HasSuffix(r.Identifier.Value, ".index.sf") {
				continue
			}
			found = true
			for _, want := range []string{`"status":"entered-in-error"`, `"text":"` + c.why + `"`, `"issued":"2026-03-01T10:00:00+01:00"`,
				`"display":"` + staffName(w.Policy, "rn-elder")} {
				if !strings.Contains(string(r.JSON), want) {
					t.Errorf("%s: no %s in %s", name, want, r.JSON)
				}
			}
		}
		if !found {
			t.Errorf("%s: no index was withdrawn", name)
		}
	}
}

func staffName(p *handover.Policy, key string) string {
	for _, s := range p.Staff {
		if s.Key == key {
			return s.Name
		}
	}
	return key
}
