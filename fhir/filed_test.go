package fhir_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// holdFiled holds every resource whose type has an encounter, by the R4 models, to the
// stay that its entry is of; every period of use to the Observation that it began with.
func holdFiled(t rapid.TB, w handover.Ward, at, known time.Time, all []*fhir.Resource) (filed int) {
	t.Helper()
	in := map[string]*fhir.Resource{}
	for _, r := range all {
		in[r.Type+"/"+r.ID] = r
	}
	wanted, latest := map[string]string{}, map[string]string{} // by entry, by infant
	stayed := map[string][]string{}
	seen := map[string]int{}
	byInfant := map[string][]*entry.Entry{}
	for _, e := range w.Entries {
		byInfant[e.Infant] = append(byInfant[e.Infant], e)
	}
	numbers := map[*entry.Stay]string{}
	stays := map[string][]*entry.Stay{}
	records := map[string]*entry.Record{}
	for infant, entries := range byInfant {
		if infant == "" {
			continue
		}
		record := entry.Replay(entries, known).Of(infant)
		records[infant], stays[infant] = record, record.Stays(at)
		for _, stay := range stays[infant] {
			for _, e := range record.Of(stay, at) {
				if e.Has("visit") && (e.Kind == "admission" || e.Kind == "identity") {
					numbers[stay] = e.Text("visit")
				}
			}
			if numbers[stay] != "" {
				seen[numbers[stay]]++
			}
		}
	}
	sends := slices.Contains(w.Policy.FHIR.Send, "Encounter")
	for infant := range stays {
		for _, stay := range stays[infant] {
			to := ""
			switch number := numbers[stay]; {
			case sends:
				to = stay.Admission.ID + ".encounter"
			case number != "" && seen[number] == 1:
				to = number
			}
			for _, e := range records[infant].Of(stay, at) {
				wanted[e.ID] = to
			}
			latest[infant] = to
			stayed[infant] = append(stayed[infant], to)
		}
	}
	told := func(to *models.Reference) string {
		switch {
		case to == nil:
			return ""
		case to.Reference == nil:
			if *to.Type != "Encounter" || *to.Identifier.System != w.Policy.FHIR.Identifiers["visit"].System {
				t.Fatalf("a logical reference to %+v", to)
			}
			return *to.Identifier.Value
		}
		stay := in[*to.Reference]
		if stay == nil || stay.Type != "Encounter" {
			t.Fatalf("filed to %s, which is not sent", *to.Reference)
		}
		ids := stay.Model.Body.(*models.Encounter).Identifier
		return *ids[len(ids)-1].Value
	}
	for _, r := range all {
		use, ok := r.Model.Body.(*models.DeviceUseStatement)
		if ok && r.Model.Status != "entered-in-error" && slices.Contains(w.Policy.FHIR.Send, "Observation") {
			if len(use.DerivedFrom) != 1 || in[*use.DerivedFrom[0].Reference] == nil ||
				in[*use.DerivedFrom[0].Reference].Entry != r.Entry {
				t.Fatalf("a period of use without what it began with: %s", r.JSON)
			}
		}
		f := reflect.ValueOf(r.Model.Body).Elem().FieldByName("Encounter")
		want, ok := wanted[r.Entry]
		gone := r.Model.Status == "entered-in-error" || r.Type == "Task" && r.Model.Status == "cancelled" && r.Entry != "" && !ok
		if !f.IsValid() || gone { // filed as it was when it was told
			continue
		}
		if r.Entry == "" {
			want, ok = latest[r.Infant], true
			if len(stays[r.Infant]) == 0 { // no stay is left of it
				continue
			}
			if over := r.Model.Status; over == "completed" || over == "cancelled" || over == "inactive" { // it was so in any of them
				got := told(f.Interface().(*models.Reference))
				if slices.Contains(stayed[r.Infant], got) {
					want = got
				}
			}
		}
		if got := told(f.Interface().(*models.Reference)); got != want || !ok {
			t.Fatalf("filed to %q, not to %q: %s", got, want, r.JSON)
		}
		if want != "" {
			filed++
		}
	}
	return filed
}

func TestFiledToTheStay(t *testing.T) {
	for _, policy := range []*handover.Policy{fixture.WardPolicy(t), fixture.SendingAll(t)} {
		filed := 0
		for seed := range fixture.Seeds(0, 3) {
			w, last := fixture.Random(t, seed, 4, 4)
			w.Policy = policy
			for _, back := range []time.Duration{0, 26 * time.Hour} {
				at := last.Add(-back)
				filed += holdFiled(t, w, at, last, fixture.Export(t, w, fhir.Ask{At: at, Known: last}).Resources)
			}
		}
		if filed == 0 {
			t.Error("nothing was filed")
		}
	}
}

// The same of any record, and of its documents.
func TestAnythingIsFiledToItsStay(t *testing.T) {
	policies := []*handover.Policy{fixture.WardPolicy(t), fixture.SendingAll(t)}
	whole := fixture.SendingAll(t)
	rapid.Check(t, func(rt *rapid.T) {
		w := handover.Ward{Entries: anyEntries(rt), Policy: policies[rapid.IntRange(0, 1).Draw(rt, "policy")]}
		at := start.Add(time.Duration(rapid.IntRange(0, 31*60).Draw(rt, "at")) * time.Minute)
		x := fixture.Export(t, w, fhir.Ask{At: at, Known: at})
		holdFiled(rt, w, at, at, x.Resources)
		w.Policy = whole
		h := handover.Compile(w, at, at, at.Add(-12*time.Hour))
		for _, s := range h.Infants {
			if all, err := fhir.DocumentResources(w, fhir.Edition{Handover: h}, s.Infant); err == nil { // one held back has none
				holdFiled(rt, w, at, at, all)
			}
		}
	})
}

// An infant who came back: each stay keeps its own, and the head that was measured in
// the first is filed there.
func TestTwoStaysOfOneInfant(t *testing.T) {
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000b","infant":"in-a","kind":"head","at":"2026-03-01T09:10:00+01:00","by":"rn-dune","circumferenceCm":25.0}
{"id":"0a5e0001-0000-4000-8000-00000000000c","infant":"in-a","kind":"discharge","at":"2026-03-01T11:00:00+01:00","by":"rn-elder","to":"ward"}
{"id":"0a5e0001-0000-4000-8000-00000000000d","infant":"in-a","kind":"admission","at":"2026-05-02T08:00:00+02:00","by":"rn-dune","born":"2026-03-01T07:00:00+01:00","cot":"2","mrn":"0042","visit":"S-2"}
{"id":"0a5e0001-0000-4000-8000-00000000000e","infant":"in-a","kind":"weight","at":"2026-05-02T08:10:00+02:00","by":"rn-dune","weightG":2100}`
	first := strings.Replace(fixture.Small, `"mrn":"0042"`, `"mrn":"0042","visit":"S-1"`, 1)
	at := fixture.Moment(t, "2026-05-02T09:00:00+02:00")
	for _, policy := range []*handover.Policy{fixture.WardPolicy(t), fixture.SendingAll(t)} {
		w := handover.Ward{Entries: fixture.Entries(t, []byte(first+more)), Policy: policy}
		x := fixture.Export(t, w, fhir.Ask{At: at, Known: at})
		if filed := holdFiled(t, w, at, at, x.Resources); filed < 2 {
			t.Errorf("%d filed", filed)
		}
		if slices.Contains(policy.FHIR.Send, "Encounter") {
			continue
		}
		for role, visit := range map[string]string{"b.circumferenceCm": "S-1", "e.weightG": "S-2"} {
			for _, r := range x.Resources {
				want := `"encounter":{"type":"Encounter","identifier":{"system":"https://moonwort.example/id/stay",` +
					`"value":"` + visit + `"}}`
				if strings.HasSuffix(r.Identifier.Value, role) && !strings.Contains(string(r.JSON), want) {
					t.Errorf("not filed to %s: %s", visit, r.JSON)
				}
			}
		}
	}
}

// Numbers of stays need a system, as others do; a number that two stays have names
// neither.
func TestFilingNeedsASystem(t *testing.T) {
	lines := strings.Replace(fixture.Small, `"mrn":"0042"`, `"mrn":"0042","visit":"S-1"`, 1)
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	w := handover.Ward{Entries: fixture.Entries(t, []byte(lines)), Policy: fixture.WardPolicy(t)}
	delete(w.Policy.FHIR.Identifiers, "visit")
	if _, err := fhir.New(w, fhir.Ask{At: at, Known: at}); err == nil || !strings.Contains(err.Error(), "fhir.identifiers.visit.system") {
		t.Errorf("not refused by key: %v", err)
	}
}
