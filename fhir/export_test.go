package fhir_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

func TestDemoWard(t *testing.T) {
	w, ask := fixture.Demo(t)
	x := fixture.Export(t, w, ask)
	if _, err := x.Transaction(fhir.Put); err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	for _, r := range x.Resources {
		count[r.Type]++
	}
	h := handover.Compile(w, ask.At, ask.Known, ask.At.Add(-w.Policy.FHIR.Left))
	if len(h.Left) == 0 || count["Patient"] != len(h.Infants)+len(h.Left) {
		t.Errorf("%d Patients of %d infants and %d who left", count["Patient"], len(h.Infants), len(h.Left))
	}
}

// An export that needs an identifier system which is not set is refused by key.
func TestRefusedByKey(t *testing.T) {
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	for policy, want := range map[string][]string{
		`{}`: {"fhir.identifiers.device.system", "fhir.identifiers.mrn.system", "fhir.identifiers.staff.system"},
		`{"fhir":{"identifiers":{"staff":{"system":"https://a.example/s"},` +
			`"mrn":{"system":"https://a.example/m"}}}}`: {"fhir.identifiers.device.system"},
		`{"fhir":{"send":["Observation"],"identifiers":{"staff":{"system":"https://a.example/s"},` +
			`"device":{"system":"https://a.example/d"}}}}`: {"fhir.identifiers.mrn.system"},
	} {
		_, err := fhir.New(handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small)), Policy: wardtest.Policy(t, []byte(policy))},
			fhir.Ask{At: at, Known: at})
		var missing *fhir.NotSet
		if !errors.As(err, &missing) {
			t.Errorf("%s: %v", policy, err)
			continue
		}
		if d := cmp.Diff(want, missing.Keys); d != "" {
			t.Errorf("%s: %s", policy, d)
		}
	}
}

// Two infants under one hospital number would become one at the receiver.
func TestSameNumberIsHeldBack(t *testing.T) {
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	twin := strings.NewReplacer(`"in-a"`, `"in-b"`, `0a5e0001`, `0a5e0002`).Replace(fixture.Small)
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+"\n"+twin)), Policy: fixture.WardPolicy(t)}
	x := fixture.Export(t, w, fhir.Ask{At: at, Known: at})
	if len(x.Held) != 2 || len(x.Resources) != 0 {
		t.Errorf("held %v, %d resources", x.Held, len(x.Resources))
	}
	if x := fixture.Export(t, w, fhir.Ask{At: at, Known: at, Infant: "in-b"}); len(x.Held) != 1 {
		t.Errorf("held %v of the one asked for", x.Held)
	}
}

// An infant who left is exported with what was open closed, for as long as the policy
// says; after that only by key.
func TestDischarged(t *testing.T) {
	at := fixture.Moment(t, "2026-03-02T10:00:00+01:00")
	entries := fixture.Entries(t, []byte(fixture.Small+"\n"+`{"id":"0a5e0001-0000-4000-8000-000000000009","infant":"in-a",`+
		`"kind":"discharge","at":"2026-03-01T12:00:00+01:00","by":"rn-dune","to":"ward"}`))
	w := handover.Ward{Entries: entries, Policy: fixture.WardPolicy(t)}
	month := at.Add(30 * 24 * time.Hour)
	if x := fixture.Export(t, w, fhir.Ask{At: month, Known: month}); len(x.Resources) != 0 {
		t.Errorf("%d resources of an infant who left a month ago", len(x.Resources))
	}
	x := fixture.Export(t, w, fhir.Ask{At: at, Known: at, Infant: "in-a"})
	whole := fixture.Export(t, w, fhir.Ask{At: at, Known: at})
	if d := cmp.Diff(sent(x), sent(whole)); d != "" {
		t.Errorf("of the ward it is otherwise than by key: %s", d)
	}
	uses := 0
	for _, r := range x.Resources {
		if r.Type != "DeviceUseStatement" {
			continue
		}
		uses++
		if s := string(r.JSON); !strings.Contains(s, `"status":"completed"`) || !strings.Contains(s, `"end":"2026-03-01T12:00:00+01:00"`) {
			t.Errorf("still open: %s", s)
		}
	}
	if uses != 2 {
		t.Errorf("%d periods of use; the interface and the driver are wanted", uses)
	}
}

func TestRestrictedHasNoName(t *testing.T) {
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000a","infant":"in-a","kind":"identity","at":"2026-03-01T09:10:00+01:00","by":"rn-dune","family":"Quartzley","given":"Wren"}
{"id":"0a5e0001-0000-4000-8000-00000000000b","infant":"in-a","kind":"identity","at":"2026-03-01T09:20:00+01:00","by":"rn-dune","restricted":true}`
	x := fixture.Export(t, handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+more)), Policy: fixture.WardPolicy(t)},
		fhir.Ask{At: at, Known: at})
	for _, r := range x.Resources {
		if s := string(r.JSON); strings.Contains(s, "Quartzley") || strings.Contains(s, "Wren") {
			t.Errorf("%s/%s holds the name", r.Type, r.ID)
		}
	}
}

// The receiver finds the infant by number, or by an identifier of our own until
// there is one; policy may make the Patient ours.
func TestPatients(t *testing.T) {
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	bundle := func(lines, patients string) string {
		w := handover.Ward{Entries: fixture.Entries(t, []byte(lines)), Policy: fixture.WardPolicy(t)}
		w.Policy.FHIR.Patients = patients
		b, err := fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Transaction(fhir.Put)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	if b := bundle(fixture.Small, "conditional"); !strings.Contains(b,
		`"request":{"method":"POST","url":"Patient","ifNoneExist":"identifier=https://moonwort.example/id/hospital-number|0042"}`) {
		t.Error("no conditional create by hospital number")
	}
	if b := bundle(fixture.Small, "ours"); !strings.Contains(b, `"request":{"method":"PUT","url":"Patient/`) {
		t.Error("no PUT of our own Patient")
	}
	ours := func(lines string) string {
		w := handover.Ward{Entries: fixture.Entries(t, []byte(lines)), Policy: fixture.WardPolicy(t)}
		w.Policy.FHIR.Patients = "ours"
		b, err := fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Transaction(fhir.Conditional)
		if err != nil {
			t.Fatal(err)
		}
		for _, e := range fixture.RequestsOf(t, b).Entry {
			if e.Resource.ResourceType == "Patient" {
				return e.Request.Method + " " + e.Request.URL
			}
		}
		return ""
	}
	unnumbered := strings.Replace(fixture.Small, `"mrn":"0042"`, `"temporary":"Boy | one"`, 1)
	b := bundle(unnumbered, "conditional")
	if !strings.Contains(b, `"use":"temp"`) || !strings.Contains(b, `"request":{"method":"PUT","url":"Patient/`) {
		t.Error("a Patient under a label is not sent as ours, or has no temporary label")
	}
	if by := ours(fixture.Small); by != ours(unnumbered) ||
		!strings.HasPrefix(by, "PUT Patient?identifier=https://moonwort.example/fhir/identifier|") {
		t.Errorf("a number makes another Patient of ours: %s, %s", by, ours(unnumbered))
	}
	awkward := bundle(strings.Replace(fixture.Small, `"0042"`, `"a|b&c+d#e f,g"`, 1), "conditional")
	if !strings.Contains(awkward, `|a%5C%7Cb%26c%2Bd%23e%20f%5C%2Cg"`) {
		t.Error("the number is not escaped", fixture.Between(awkward, `"ifNoneExist":"`, `"`))
	}
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small)), Policy: fixture.WardPolicy(t)}
	w.Policy.FHIR.Patients = "match"
	if _, err := fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Transaction(fhir.Put); err == nil {
		t.Error("a file cannot match patients")
	}
}

// A receiver may take one type alone.
func TestOneTypeAlone(t *testing.T) {
	const few = "send: [Observation, DeviceUseStatement, Device]"
	w, last := fixture.Random(t, 3, 3, 2)
	for _, kind := range handover.SendTypes {
		w.Policy = wardtest.Policy(t, []byte(strings.Replace(string(ward.Policy()), few, "send: ["+kind+"]", 1)))
		for _, mode := range []fhir.Mode{fhir.Put, fhir.Conditional} {
			if _, err := fixture.Export(t, w, fhir.Ask{At: last, Known: last}).Transaction(mode); err != nil {
				t.Errorf("%s alone: %v", kind, err)
			}
		}
	}
}

// sent are the resources of an export, by type and id.
func sent(x *fhir.Export) map[string]string {
	out := map[string]string{}
	for _, r := range x.Resources {
		out[r.Type+"/"+r.ID] = string(r.JSON)
	}
	return out
}

// A receiver of one whole export after another holds nothing open of an infant who left
// in between: stay, periods of use, devices, tasks, what fell due and Flags end with the stay.
func TestWholeAfterWholeEndsTheStay(t *testing.T) {
	ended := 0
	for seed := range fixture.Seeds(2, 2) {
		w, last := fixture.Random(t, seed, 4, 3)
		w.Policy = fixture.SendingAll(t)
		whole := fixture.Export(t, w, fhir.Ask{At: last, Known: last.Add(time.Hour)})
		now := sent(whole)
		for at := last.Add(-60 * time.Hour); at.Before(last); at = at.Add(13 * time.Hour) {
			before := fixture.Export(t, w, fhir.Ask{At: at, Known: last.Add(time.Hour)})
			held := receiver{}
			held.take(t, before)
			held.take(t, whole)
			left := map[string]bool{}
			for _, l := range handover.Compile(w, last, last.Add(time.Hour), last.Add(-w.Policy.FHIR.Left)).Left {
				left[l.Infant] = true
			}
			for _, r := range before.Resources {
				key := r.Type + "/" + r.ID
				if !left[r.Infant] {
					continue
				}
				if now[key] == "" {
					t.Fatalf("ward %d: %s of %s is not told of any more", seed, key, r.Infant)
				}
				for _, open := range []string{`"status":"active"`, `"status":"requested"`, `"status":"in-progress"`} {
					if strings.Contains(held[key], open) {
						t.Fatalf("ward %d: open: %s", seed, held[key])
					}
				}
				ended++
			}
		}
	}
	if ended == 0 {
		t.Error("nobody left")
	}
}
