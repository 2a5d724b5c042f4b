package fhir_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
)

// receiver is what a receiver holds, by Type/id.
type receiver map[string]string

func (r receiver) take(t testing.TB, x *fhir.Export) {
	t.Helper()
	files, err := x.NDJSON()
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		for line := range strings.Lines(string(f.Content)) {
			r[f.Type+"/"+fixture.Between(line, `"id":"`, `"`)] = line
		}
	}
}

// holdsPatients: the Patient of each resource is there, or none is told.
func (r receiver) holdsPatients(t rapid.TB) {
	for k, line := range r {
		if _, after, ok := strings.Cut(line, `"reference":"Patient/`); ok {
			id, _, _ := strings.Cut(after, `"`)
			if r["Patient/"+id] == "" {
				t.Fatalf("%s is of a Patient who was never sent: %s", k, line)
			}
		}
	}
}

// A full export and the deltas after it give a receiver the state of the full
// export of their end: nothing stale, nothing missing; what it holds beyond that is
// of infants who left, of moments not asked for, or marked as entered in error.
func TestDeltasGiveTheStateOfTheWhole(t *testing.T) {
	for seed := range fixture.Seeds(0, 2) {
		w, last := fixture.Random(t, seed, 3, 2)
		if seed%2 == 1 {
			w.Policy = fixture.SendingAll(t)
		}
		at := last.Add(-40 * time.Hour)
		held := receiver{}
		held.take(t, fixture.Export(t, w, fhir.Ask{At: at, Known: at}))
		for at.Before(last) {
			next := at.Add(11 * time.Hour)
			d := fixture.Delta(t, w, at, fhir.Ask{At: next, Known: next})
			held.take(t, d)
			held.holdsPatients(t)
			whole, x := receiver{}, fixture.Export(t, w, fhir.Ask{At: next, Known: next})
			whole.take(t, x)
			for k, want := range whole {
				if d := cmp.Diff(want, held[k]); d != "" {
					t.Fatalf("ward %d, %s: %s: %s", seed, next, k, d)
				}
			}
			here := map[string]bool{}
			for _, r := range x.Resources {
				here[r.Infant] = true
			}
			for _, r := range d.Resources {
				if _, ok := whole[r.Type+"/"+r.ID]; !ok && here[r.Infant] && r.Infant != "" && r.Type != "Patient" &&
					strings.Contains(string(r.JSON), `"status":"active"`) && r.Type == "DeviceUseStatement" {
					t.Fatalf("ward %d: a period of use is open that the whole does not have: %s", seed, r.JSON)
				}
			}
			at = next
		}
	}
}

// Nothing charted, nothing sent.
func TestDeltaOfNothingIsEmpty(t *testing.T) {
	w, last := fixture.Random(t, 7, 3, 2)
	known := last.Add(24 * time.Hour) // all is written down
	if d := fixture.Delta(t, w, known, fhir.Ask{At: known.Add(time.Hour), Known: known.Add(time.Hour)}); len(d.Resources) != 0 {
		t.Errorf("%d resources, first %s", len(d.Resources), d.Resources[0].JSON)
	}
}

func TestDeltaTellsWhatIsGone(t *testing.T) {
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000a","infant":"in-a","kind":"retraction","at":"2026-03-01T11:00:00+01:00","charted":"2026-03-01T11:00:00+01:00","by":"rn-elder","of":"0a5e0001-0000-4000-8000-000000000003","reason":"the other twin"}
{"id":"0a5e0001-0000-4000-8000-00000000000b","infant":"in-a","kind":"correction","at":"2026-03-01T11:01:00+01:00","charted":"2026-03-01T11:01:00+01:00","by":"rn-elder","of":"0a5e0001-0000-4000-8000-000000000005","reason":"no heart rate was seen","entry":{"kind":"observations","at":"2026-03-01T09:00:00+01:00","spo2Percent":94}}`
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+more)), Policy: fixture.WardPolicy(t)}
	since, at := fixture.Moment(t, "2026-03-01T10:00:00+01:00"), fixture.Moment(t, "2026-03-01T12:00:00+01:00")
	d := fixture.Delta(t, w, since, fhir.Ask{At: at, Known: at})
	got := map[string]string{}
	for _, r := range d.Resources {
		name := r.Identifier.Value
		if r.Type == "Device" {
			name = "Device"
		}
		if r.Type == "Basic" {
			got["withdrawn entry"] = "carried"
			continue
		}
		_, name, _ = strings.Cut(name, ".")
		if name == "" {
			name = r.Type
		}
		got[name] = fixture.Between(string(r.JSON), `"status":"`, `"`) // of the narrative, at least
		for _, status := range []string{"entered-in-error", "corrected", "final", "active"} {
			if strings.Contains(string(r.JSON), `"status":"`+status+`"`) {
				got[name] = status
				break
			}
		}
	}
	want := map[string]string{"interface": "entered-in-error", "use.interface": "entered-in-error", "Device": "entered-in-error",
		"spo2Percent": "corrected", "heartRateBpm": "entered-in-error", "withdrawn entry": "carried", "index.sf": "corrected",
		"index.osi": "corrected", "index.severity": "corrected"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	for _, r := range d.Resources {
		s := string(r.JSON)
		if strings.HasSuffix(r.Identifier.Value, ".interface") && (!strings.Contains(s, `"text":"Withdrawn: the other twin"`) ||
			!strings.Contains(s, `"2026-03-01T11:00:00+01:00"`)) {
			t.Errorf("no reason, or no time: %s", s)
		}
	}
}

// Discharge closes what was open and withdraws nothing.
func TestDeltaOverDischarge(t *testing.T) {
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000a","infant":"in-a","kind":"discharge","at":"2026-03-01T11:00:00+01:00","by":"rn-elder","to":"ward"}`
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+more)), Policy: fixture.WardPolicy(t)}
	d := fixture.Delta(t, w, fixture.Moment(t, "2026-03-01T10:00:00+01:00"), fhir.Ask{At: fixture.Moment(t, "2026-03-01T12:00:00+01:00"),
		Known: fixture.Moment(t, "2026-03-01T12:00:00+01:00")})
	for _, r := range d.Resources {
		if r.Type == "Basic" && strings.Contains(string(r.JSON), `"text":"Care entry: Discharge"`) {
			continue
		}
		status := map[string]string{"DeviceUseStatement": "completed", "Device": "inactive"}[r.Type]
		if status == "" || !strings.Contains(string(r.JSON), `"status":"`+status+`"`) {
			t.Errorf("sent: %s", r.JSON)
		}
	}
	if len(d.Resources) != 4 {
		t.Errorf("%d resources", len(d.Resources))
	}
}

// What is charted late of an infant who had left comes with her Patient, whom the
// receiver of wards was never sent.
func TestDeltaOfWhoHadLeft(t *testing.T) {
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000a","infant":"in-a","kind":"discharge","at":"2026-03-01T09:50:00+01:00","by":"rn-elder","to":"ward"}
{"id":"0a5e0001-0000-4000-8000-00000000000b","infant":"in-a","kind":"note","at":"2026-03-01T09:40:00+01:00","charted":"2026-03-01T11:00:00+01:00",` +
		`"by":"rn-elder","text":"left with her mother"}`
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+more)), Policy: fixture.SendingAll(t)}
	since, at := fixture.Moment(t, "2026-03-01T10:00:00+01:00"), fixture.Moment(t, "2026-03-01T12:00:00+01:00")
	held := receiver{}
	held.take(t, fixture.Delta(t, w, since, fhir.Ask{At: at, Known: at}))
	if len(held) < 2 {
		t.Errorf("told: %v", held)
	}
	held.holdsPatients(t)
}

// The same of any record: also where breaks, corrections and retractions meet.
func TestAnyDelta(t *testing.T) {
	policies := []*handover.Policy{fixture.WardPolicy(t), fixture.SendingAll(t)}
	rapid.Check(t, func(rt *rapid.T) {
		w := handover.Ward{Entries: anyEntries(rt), Policy: policies[rapid.IntRange(0, 1).Draw(rt, "policy")]}
		since := start.Add(time.Duration(rapid.IntRange(0, 30*60).Draw(rt, "since")) * time.Minute)
		at := since.Add(time.Duration(rapid.IntRange(0, 30*60).Draw(rt, "later")) * time.Minute)
		held := receiver{}
		before := fixture.Export(t, w, fhir.Ask{At: since, Known: since})
		held.take(t, before)
		d := fixture.Delta(t, w, since, fhir.Ask{At: at, Known: at})
		held.take(t, d)
		held.holdsPatients(rt)
		now := fixture.Export(t, w, fhir.Ask{At: at, Known: at})
		if len(before.Held)+len(now.Held) > 0 {
			rt.Skip("an infant held back is neither sent nor withdrawn")
		}
		whole := receiver{}
		whole.take(t, now)
		for k, want := range whole {
			if d := cmp.Diff(want, held[k]); d != "" {
				rt.Fatalf("%s: %s\n%s", k, d, lines(w.Entries))
			}
		}
		present := map[string]bool{}
		for _, r := range now.Resources {
			present[r.Infant] = true
		}
		// What the receiver holds beyond the whole, of an infant who is in it, was
		// withdrawn, or happened at a moment that is not asked for.
		for _, r := range d.Resources {
			k := r.Type + "/" + r.ID
			if _, ok := whole[k]; ok || !present[r.Infant] || r.Infant == "" {
				continue
			}
			s := string(r.JSON)
			open := strings.Contains(s, `"status":"active"`) && (r.Type == "DeviceUseStatement" || r.Type == "Flag") ||
				strings.Contains(s, `"status":"requested"`) && r.Type == "Task"
			if open {
				rt.Fatalf("open, and not in the whole: %s\n%s", s, lines(w.Entries))
			}
		}
	})
}
