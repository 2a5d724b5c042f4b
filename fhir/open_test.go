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
	"cotline/handover/entry"
)

// holdNothingOpen holds what a receiver has to a whole export of the moment: nothing is
// open at the receiver that is not so in the record.
func holdNothingOpen(t rapid.TB, w handover.Ward, held receiver, whole *fhir.Export, at time.Time, how string) {
	t.Helper()
	now := sent(whole)
	for key, s := range held {
		kind, _, _ := strings.Cut(key, "/")
		if _, told := now[key]; !told && open(kind, s) {
			t.Fatalf("%s, at %s: open at the receiver, and not in the record: %s\n%s", how, at, s, lines(w.Entries))
		}
	}
	for key, want := range now {
		if strings.TrimSuffix(held[key], "\n") != want && !strings.HasPrefix(key, "Basic/") {
			t.Fatalf("%s, at %s: %s: %s", how, at, key, cmp.Diff(want, held[key]))
		}
	}
}

// opens are the statuses of what goes on.
var opens = map[string]string{"Flag": "active", "Task": "requested", "Encounter": "in-progress", "DeviceUseStatement": "active",
	"Device": "active"}

// open says whether a resource says that something is still so. A DeviceMetric says it by
// having no status at all.
func open(kind, s string) bool {
	if kind == "DeviceMetric" {
		return !strings.Contains(s, `"operationalStatus":`)
	}
	return opens[kind] != "" && strings.Contains(s, `"status":"`+opens[kind]+`"`)
}

// feeds are the ways in which exports follow one another: the whole, or the difference to
// the one before.
var feeds = map[string][]bool{"whole after whole": {true, true, true}, "difference after whole": {true, false, false},
	"whole after difference": {true, false, true}, "difference after a second whole": {true, true, false}}

// Whatever follows what, a receiver holds nothing open that is not open in the record.
func TestNothingStaysOpen(t *testing.T) {
	for seed := range fixture.Seeds(0, 1) {
		w, last := fixture.Random(t, seed, 5, 3)
		w.Policy = fixture.SendingAll(t)
		moments := []time.Time{last.Add(-26 * time.Hour), last.Add(-13 * time.Hour), last}
		var wholes []*fhir.Export
		for _, at := range moments {
			wholes = append(wholes, fixture.Export(t, w, fhir.Ask{At: at, Known: at}))
		}
		for how, whole := range feeds {
			held := receiver{}
			for n, at := range moments {
				if whole[n] {
					held.take(t, wholes[n])
				} else {
					held.take(t, fixture.Delta(t, w, moments[n-1], fhir.Ask{At: at, Known: at}))
				}
				holdNothingOpen(t, w, held, wholes[n], at, how)
			}
		}
	}
}

func exportOf(t rapid.TB, w handover.Ward, ask fhir.Ask) *fhir.Export {
	t.Helper()
	x, err := fhir.New(w, ask)
	if err != nil {
		t.Fatalf("%v", err)
	}
	return x
}

// The same of any record.
func TestOfAnyRecordNothingStaysOpen(t *testing.T) {
	policies := []*handover.Policy{fixture.WardPolicy(t), fixture.SendingAll(t)}
	rapid.Check(t, func(rt *rapid.T) {
		w := handover.Ward{Entries: happened(anyEntries(rt)), Policy: policies[rapid.IntRange(0, 1).Draw(rt, "policy")]}
		held := receiver{}
		at := start
		for n := range 4 {
			next := at.Add(time.Duration(rapid.IntRange(0, 15*60).Draw(rt, "later")) * time.Minute)
			x := exportOf(rt, w, fhir.Ask{At: next, Known: next})
			if len(x.Held) > 0 {
				rt.Skip("an infant held back is neither sent nor withdrawn")
			}
			if n > 0 && rapid.Bool().Draw(rt, "difference") {
				held.take(t, fixture.Delta(t, w, at, fhir.Ask{At: next, Known: next}))
			} else {
				held.take(t, x)
			}
			at = next
			holdNothingOpen(rt, w, held, x, at, "in some order")
		}
	})
}

// happened are entries of what had happened when it was written down: a record takes no
// others. What a correction moves ahead of its day is neither gone nor there yet.
func happened(entries []*entry.Entry) []*entry.Entry {
	for _, e := range entries {
		if at := e.Says().At; at.After(e.Charted.Time) {
			e.Charted = at
		}
	}
	return entries
}
