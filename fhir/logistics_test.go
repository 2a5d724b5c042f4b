package fhir_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
)

// ofType are the resources of a type and infant, by their own code's text.
func ofType(x *fhir.Export, kind, infant string) []string {
	var out []string
	for _, r := range x.Resources {
		if r.Type == kind && r.Infant == infant {
			out = append(out, string(r.JSON))
		}
	}
	return out
}

// one is the one of some that holds all the marks.
func one(t testing.TB, all []string, marks ...string) string {
	t.Helper()
	var found []string
	for _, s := range all {
		has := true
		for _, m := range marks {
			has = has && strings.Contains(s, m)
		}
		if has {
			found = append(found, s)
		}
	}
	if len(found) != 1 {
		t.Fatalf("%d hold %q:\n%s", len(found), marks, strings.Join(all, "\n"))
	}
	return found[0]
}

func TestEveryTypeIsSent(t *testing.T) {
	at := fixture.Moment(t, "2026-03-01T09:50:00+01:00")
	x := fixture.Export(t, fixture.TwinWard(t, ""), fhir.Ask{At: at, Known: at})
	if _, err := x.Transaction(fhir.Put); err != nil {
		t.Fatal(err)
	}
	if _, err := x.Transaction(fhir.Conditional); err != nil {
		t.Fatal(err)
	}
	one(t, ofType(x, "Task", "in-a"), `"intent":"order"`, "Send the swab", `"status":"requested"`,
		`"start":"2026-03-01T09:30:00+01:00","end":"2026-03-01T10:30:00+01:00"`)
	one(t, ofType(x, "Task", "in-a"), `"intent":"order"`, "every 1h: by order", `"status":"requested"`)
	one(t, ofType(x, "Task", "in-a"), `"intent":"plan"`, `"code":"due-observations"`,
		`"start":"2026-03-01T09:30:00+01:00","end":"2026-03-01T10:30:00+01:00"`)
	one(t, ofType(x, "Encounter", "in-a"), `"status":"in-progress"`, `"system":"https://moonwort.example/id/stay","value":"V-7"`,
		`"status":"completed","period":{"start":"2026-03-01T08:00:00+01:00","end":"2026-03-01T09:00:00+01:00"}`,
		`"status":"active","period":{"start":"2026-03-01T09:00:00+01:00"}`)
	one(t, ofType(x, "DeviceMetric", "in-a"), `"category":"measurement"`,
		`"type":"two-point","state":"calibrated","time":"2026-03-01T08:40:00+01:00"`)
	if got := len(ofType(x, "Location", "")); got != 3 {
		t.Errorf("%d cots", got)
	}
	person := one(t, ofType(x, "Practitioner", ""), `"value":"rn-dune"`)
	for _, r := range x.Resources {
		if r.Type == "Observation" && !strings.Contains(string(r.JSON), `"performer":[{"reference":"Practitioner/`+fixture.Between(person,
			`"id":"`, `"`)) {
			t.Errorf("who charted is not the Practitioner: %s", r.JSON)
		}
	}
}

// A Flag names the other infant by nothing that identifies it.
func TestFlagsNameNobodyElse(t *testing.T) {
	at := fixture.Moment(t, "2026-03-01T09:50:00+01:00")
	x := fixture.Export(t, fixture.TwinWard(t, ""), fhir.Ask{At: at, Known: at})
	for infant, other := range map[string][]string{"in-a": {"0043", "in-b"}, "in-b": {"0042", "in-a"}} {
		flags := ofType(x, "Flag", infant)
		one(t, flags, `"code":"alike-number"`, `"status":"active"`, `"start":"2026-03-01T08:10:00+01:00"`)
		one(t, flags, `"code":"conflict-driver"`, `"status":"active"`, `"start":"2026-03-01T09:20:00+01:00"`)
		for _, f := range flags {
			if strings.Contains(f, other[0]) || strings.Contains(f, other[1]) {
				t.Errorf("the other infant is named: %s", f)
			}
		}
	}
}

// What is done is completed under the id it had; what is over is closed.
func TestDeltaClosesWhatIsOver(t *testing.T) {
	more := `{"id":"0a5e0002-0000-4000-8000-000000000011","infant":"in-a","kind":"observations","at":"2026-03-01T10:00:00+01:00",` +
		`"by":"rn-dune","spo2Percent":93}
{"id":"0a5e0002-0000-4000-8000-000000000012","infant":"in-a","kind":"task-done","at":"2026-03-01T10:01:00+01:00","by":"rn-dune","task":"0a5e0002-0000-4000-8000-000000000005"}
{"id":"0a5e0002-0000-4000-8000-000000000013","infant":"in-b","kind":"discharge","at":"2026-03-01T10:02:00+01:00","by":"rn-dune","to":"hospital","place":"Larkfell"}
`
	w := fixture.TwinWard(t, more)
	since, at := fixture.Moment(t, "2026-03-01T09:50:00+01:00"), fixture.Moment(t, "2026-03-01T10:05:00+01:00")
	before := fixture.Export(t, w, fhir.Ask{At: since, Known: since})
	d := fixture.Delta(t, w, since, fhir.Ask{At: at, Known: at})
	due := one(t, ofType(before, "Task", "in-a"), `"code":"due-observations"`, `"intent":"plan"`)
	done := one(t, ofType(d, "Task", "in-a"), `"code":"due-observations"`, `"intent":"plan"`)
	if cmp.Diff(fixture.Between(due, `"id":"`, `"`), fixture.Between(done, `"id":"`, `"`)) != "" ||
		!strings.Contains(done, `"status":"completed"`) ||
		!strings.Contains(done, `"executionPeriod":{"end":"2026-03-01T10:00:00+01:00"}`) {
		t.Errorf("due and done: %s\n%s", due, done)
	}
	one(t, ofType(d, "Task", "in-a"), "Send the swab", `"status":"completed"`)
	one(t, ofType(d, "Flag", "in-a"), `"code":"alike-number"`, `"status":"inactive"`, `"end":"2026-03-01T10:02:00+01:00"`)
	one(t, ofType(d, "Flag", "in-b"), `"code":"alike-number"`, `"status":"inactive"`)
	one(t, ofType(d, "Encounter", "in-b"), `"status":"finished"`, `"dischargeDisposition"`, "hospital, Larkfell")
}

// A deferral waits under the same id, and says why.
func TestDeferralIsAReason(t *testing.T) {
	more := `{"id":"0a5e0002-0000-4000-8000-000000000011","infant":"in-a","kind":"deferral","at":"2026-03-01T09:40:00+01:00",` +
		`"by":"rn-dune","what":"observations","until":"2026-03-01T11:00:00+01:00","reason":"asleep at last"}
`
	at := fixture.Moment(t, "2026-03-01T09:50:00+01:00")
	plain := one(t, ofType(fixture.Export(t, fixture.TwinWard(t, ""), fhir.Ask{At: at, Known: at}), "Task", "in-a"), `"intent":"plan"`,
		`"code":"due-observations"`)
	x := fixture.Export(t, fixture.TwinWard(t, more), fhir.Ask{At: at, Known: at})
	deferred := one(t, ofType(x, "Task", "in-a"), `"intent":"plan"`,
		`"statusReason":{"text":"deferred until 2026-03-01T11:00:00+01:00: asleep at last"}`)
	if fixture.Between(plain, `"id":"`, `"`) != fixture.Between(deferred, `"id":"`, `"`) {
		t.Error("another id")
	}
}

// A task that was charted in error is cancelled, and says so.
func TestWithdrawnTaskIsCancelled(t *testing.T) {
	more := `{"id":"0a5e0002-0000-4000-8000-000000000011","infant":"in-a","kind":"retraction","at":"2026-03-01T10:00:00+01:00",` +
		`"by":"rn-elder","of":"0a5e0002-0000-4000-8000-000000000005","reason":"the other twin"}
`
	w := fixture.TwinWard(t, more)
	d := fixture.Delta(t, w, fixture.Moment(t, "2026-03-01T09:50:00+01:00"), fhir.Ask{At: fixture.Moment(t, "2026-03-01T10:05:00+01:00"),
		Known: fixture.Moment(t, "2026-03-01T10:05:00+01:00")})
	one(t, ofType(d, "Task", "in-a"), "Send the swab", `"status":"cancelled"`, "Withdrawn: the other twin")
}

// One visit number on two stays names neither.
func TestSharedVisitNumberNamesNobody(t *testing.T) {
	more := `{"id":"0a5e0002-0000-4000-8000-000000000011","infant":"in-b","kind":"identity","at":"2026-03-01T09:00:00+01:00",` +
		`"by":"rn-dune","visit":"V-7"}
`
	at := fixture.Moment(t, "2026-03-01T09:50:00+01:00")
	x := fixture.Export(t, fixture.TwinWard(t, more), fhir.Ask{At: at, Known: at})
	if _, err := x.Transaction(fhir.Put); err != nil {
		t.Fatal(err)
	}
	for _, e := range append(ofType(x, "Encounter", "in-a"), ofType(x, "Encounter", "in-b")...) {
		if strings.Contains(e, "V-7") {
			t.Errorf("%s", e)
		}
	}
}
