package fhir_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
)

// R4, observation-status: a final Observation is complete, one that was changed is amended,
// or corrected. An entry takes over what it leaves out; where that was charted late,
// corrected or taken back, what had been told as final is amended, and issued then. What
// says the same as before stays final.
func TestTakenOverAnew(t *testing.T) {
	const ward = `{"id":"0a5e000b-0000-4000-8000-000000000001","infant":"in-a","kind":"admission","at":"2026-03-01T08:00:00+01:00",` +
		`"by":"rn-dune","born":"2026-03-01","cot":"1","mrn":"77"}
{"id":"0a5e000b-0000-4000-8000-000000000002","infant":"in-a","kind":"support","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","state":"started","mode":"cpap","driver":"ax-1"}
{"id":"0a5e000b-0000-4000-8000-000000000003","infant":"in-a","kind":"interface","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","type":"mask","size":"bean"}
{"id":"0a5e000b-0000-4000-8000-000000000004","infant":"in-a","kind":"bonnet","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","action":"fitted","size":"bud"}
{"id":"0a5e000b-0000-4000-8000-000000000005","infant":"in-a","kind":"tube","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","action":"placed","route":"oral","markCm":15.0}
{"id":"0a5e000b-0000-4000-8000-000000000006","infant":"in-a","kind":"interface","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","type":"mask"}
{"id":"0a5e000b-0000-4000-8000-000000000007","infant":"in-a","kind":"bonnet","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","action":"tight"}
{"id":"0a5e000b-0000-4000-8000-000000000008","infant":"in-a","kind":"tube","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","action":"checked","markCm":15.0,"ph":4.5}
{"id":"0a5e000b-0000-4000-8000-000000000009","infant":"in-a","kind":"support","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","state":"changed","mode":"cpap"}
{"id":"0a5e000b-0000-4000-8000-000000000010","infant":"in-a","kind":"interface","at":"2026-03-01T09:30:00+01:00","by":"rn-dune","type":"prongs","size":"reed"}
`
	of := func(n int, role string) string { return fmt.Sprintf("0a5e000b-0000-4000-8000-%012d.%s", n, role) }
	face, bonnet, tube, mark, ph, driver, turn := of(6, "interface"), of(7, "bonnet"), of(8, "tube"), of(8, "markCm"), of(8, "ph"),
		of(9, "support"), of(10, "rotation")
	all := []string{face, bonnet, tube, mark, ph, driver, turn}
	entry := func(n int, at, charted, rest string) string {
		return fmt.Sprintf(`{"id":"0a5e000b-0000-4000-8000-0000000001%02d","infant":"in-a","at":"2026-03-01T%s:00+01:00",`+
			`"charted":"2026-03-01T%s:00+01:00","by":"rn-dune",%s}`+"\n", n, at, charted, rest)
	}
	correct := func(n int, rest string) string {
		return fmt.Sprintf(`"kind":"correction","of":"0a5e000b-0000-4000-8000-%012d","reason":"read again",`+
			`"entry":{"at":"2026-03-01T08:00:00+01:00",%s}`, n, rest)
	}
	takeBack := func(n int) string {
		return fmt.Sprintf(`"kind":"retraction","of":"0a5e000b-0000-4000-8000-%012d","reason":"the other twin"`, n)
	}
	pea, petal, oral := `"kind":"interface","type":"mask","size":"pea"`, `"kind":"bonnet","action":"fitted","size":"petal"`,
		`"kind":"tube","action":"placed","route":"oral","markCm":15.0`
	prongs := `"kind":"interface","type":"prongs","size":"reed"`
	for _, c := range []struct {
		name, more, issued string
		amended            []string
		marks              map[string]string
	}{
		{"nothing", "", "", nil, map[string]string{face: `"text":"mask bean"`}},
		{"a mask charted late", entry(1, "08:30", "10:00", pea), "10:00", []string{face}, map[string]string{face: `"text":"mask pea"`}},
		{"a mask charted in time", entry(1, "08:30", "08:31", pea), "", nil, map[string]string{face: `"text":"mask pea"`}},
		{"the same mask charted late", entry(1, "08:30", "10:00", `"kind":"interface","type":"mask","size":"bean"`), "", nil, nil},
		{"a mask corrected", entry(1, "10:00", "10:00", correct(3, pea)), "10:00", []string{face},
			map[string]string{face: `"text":"mask pea"`}},
		{"a correction taken back", entry(1, "10:00", "10:00", correct(3, pea)) + entry(2, "10:30", "10:30", takeBack(101)), "10:30",
			[]string{face}, map[string]string{face: `"text":"mask bean"`}},
		{"a mask withdrawn", entry(1, "10:00", "10:00", takeBack(3)), "10:00", []string{face}, map[string]string{face: `"text":"mask"`}},
		{"a bonnet charted late", entry(1, "08:30", "10:00", petal), "10:00", []string{bonnet},
			map[string]string{bonnet: `"text":"tight petal"`}},
		{"a tube charted late", entry(1, "08:30", "10:00", oral), "10:00", []string{tube, mark, ph}, nil},
		{"a tube removed late", entry(1, "08:30", "10:00", `"kind":"tube","action":"removed"`), "10:00", []string{tube, mark, ph}, nil},
		{"a route corrected", entry(1, "10:00", "10:00", correct(5, strings.Replace(oral, "oral", "nasal", 1))), "10:00",
			[]string{mark}, nil},
		{"a driver charted late", entry(1, "08:30", "10:00", `"kind":"support","state":"changed","mode":"cpap","driver":"ax-2"`), "10:00",
			[]string{driver}, nil},
		{"a turn that was none, and is one again", entry(1, "09:10", "10:00", prongs) + entry(2, "10:30", "10:30", takeBack(101)), "10:30",
			[]string{turn}, nil},
	} {
		w := handover.Ward{Entries: fixture.Entries(t, []byte(ward+c.more)), Policy: fixture.WardPolicy(t)}
		before, at := fixture.Moment(t, "2026-03-01T09:45:00+01:00"), fixture.Moment(t, "2026-03-01T11:00:00+01:00")
		was, is := map[string]string{}, map[string]string{}
		for _, r := range fixture.Export(t, w, fhir.Ask{At: before, Known: before}).Resources {
			was[r.Identifier.Value] = string(r.JSON)
		}
		for _, r := range fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Resources {
			is[r.Identifier.Value] = string(r.JSON)
		}
		amended := map[string]bool{}
		for _, name := range c.amended {
			amended[name] = true
		}
		for _, name := range all {
			s := is[name]
			if !strings.Contains(s, c.marks[name]) {
				t.Errorf("%s: no %s in %s", c.name, c.marks[name], s)
			}
			if !amended[name] {
				if !strings.Contains(s, `"status":"final"`) || s != was[name] {
					t.Errorf("%s: %s is another: %s\n%s", c.name, name, s, was[name])
				}
				continue
			}
			for _, want := range []string{`"status":"amended"`, `"issued":"2026-03-01T` + c.issued, `"text":"Taken over anew`} {
				if !strings.Contains(s, want) || !strings.Contains(was[name], `"status":"final"`) {
					t.Errorf("%s: no %s in %s", c.name, want, s)
				}
			}
		}
	}
}

// The same of any record: a final Observation never becomes another final one, and what
// became another was issued later. What an entry carries to be read back is left out, and by what
// numbers infant and stay are found.
func TestFinalIsFinal(t *testing.T) {
	policies := []*handover.Policy{fixture.WardPolicy(t), fixture.SendingAll(t)}
	observations := func(t testing.TB, w handover.Ward, at time.Time) map[string]map[string]any {
		out := map[string]map[string]any{}
		for _, r := range fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Resources {
			if r.Type == "Observation" {
				var o map[string]any
				if err := json.Unmarshal(r.JSON, &o); err != nil {
					t.Fatal(err)
				}
				delete(o, "extension")
				delete(o, "subject") // refers by the number, which may come later
				delete(o, "encounter")
				out[r.ID] = o
			}
		}
		return out
	}
	rapid.Check(t, func(rt *rapid.T) {
		w := handover.Ward{Entries: anyEntries(rt), Policy: policies[rapid.IntRange(0, 1).Draw(rt, "policy")]}
		since := start.Add(time.Duration(rapid.IntRange(0, 30*60).Draw(rt, "since")) * time.Minute)
		at := since.Add(time.Duration(rapid.IntRange(0, 30*60).Draw(rt, "later")) * time.Minute)
		was := observations(t, w, since)
		for id, is := range observations(t, w, at) {
			if was[id] == nil || cmp.Equal(was[id], is) {
				continue
			}
			before, _ := time.Parse(time.RFC3339Nano, was[id]["issued"].(string))
			after, _ := time.Parse(time.RFC3339Nano, is["issued"].(string))
			if is["status"] == "final" || !after.After(before) {
				rt.Fatalf("told at %s, and at %s: %s\n%s", since, at, cmp.Diff(was[id], is), lines(w.Entries))
			}
		}
	})
}
