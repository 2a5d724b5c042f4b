package fhir_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover/entry"
)

// Wholes, and wholes with differences between them, each a moment before something was
// corrected, taken back, moved to another infant or charted late: a receiver holds nothing
// open that is not so.
func TestWholesEndWhatWasTakenBack(t *testing.T) {
	ended := map[string]int{}
	for seed := range fixture.Seeds(20, 4) {
		w, last := fixture.Random(t, seed, 4, 2)
		w.Policy = fixture.SendingAll(t)
		var moments []time.Time
		end := last.Add(26 * time.Hour) // all is written down
		w.Entries, moments = shaken(t, w.Entries, seed, end.Add(-w.Policy.FHIR.Left))
		held, mixed := receiver{}, receiver{}
		for n, m := range append(moments, end) {
			x := fixture.Export(t, w, fhir.Ask{At: m, Known: m})
			held.take(t, x)
			if n%3 > 0 {
				x = fixture.Delta(t, w, moments[n-1], fhir.Ask{At: m, Known: m})
			}
			mixed.take(t, x)
			holdNothingOpen(t, w, mixed, m, "wholes and differences")
		}
		holdNothingOpen(t, w, held, end, "whole after whole")
		for key, s := range held {
			if kind, _, _ := strings.Cut(key, "/"); strings.Contains(s, `entered-in-error"`) || strings.Contains(s, `"Withdrawn: `) {
				ended[kind]++
			}
		}
	}
	t.Log(ended)
	for _, kind := range []string{"DeviceUseStatement", "Device", "Encounter", "Task", "DeviceMetric"} {
		if ended[kind] == 0 {
			t.Errorf("no %s was taken back", kind)
		}
	}
}

// began are the kinds that begin what can stand open.
var began = []string{"admission", "support", "interface", "circuit", "bonnet", "tube", "calibration", "task", "plan"}

// shaken are a ward's entries with more that was wrong: of those that begin something some
// are taken back, moved to another infant, or corrected to have been earlier. The moments
// are those before some of that was written down, after the one that is given.
func shaken(t testing.TB, entries []*entry.Entry, seed uint64, after time.Time) (out []*entry.Entry, before []time.Time) {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 1))
	var infants []string
	for _, e := range entries {
		if e.Infant != "" && !slices.Contains(infants, e.Infant) {
			infants = append(infants, e.Infant)
		}
	}
	out = slices.Clone(entries)
	n := 0
	add := func(line map[string]any) {
		text, err := json.Marshal(line)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, fixture.Entries(t, text)...)
	}
	fresh := func() string { n++; return uuid.NewSHA1(uuid.NameSpaceOID, fmt.Append(nil, seed, n)).String() }
	for _, e := range entries {
		often := 8
		switch e.Kind {
		case "admission":
			often = 2
		case "task", "plan":
			often = 3
		}
		if e.Infant == "" || !slices.Contains(began, e.Kind) || r.IntN(often) > 0 {
			continue
		}
		at := e.Charted.Add(time.Duration(1+r.IntN(300)) * time.Minute)
		seen := at.Format(time.RFC3339)
		amends := map[string]any{"id": fresh(), "infant": e.Infant, "of": e.ID, "kind": "retraction", "at": seen, "charted": seen,
			"by": e.By, "reason": "another infant's"}
		again := map[string]any{}
		d := json.NewDecoder(bytes.NewReader(e.AppendCanonical(nil)))
		d.UseNumber()
		if err := d.Decode(&again); err != nil {
			t.Fatal(err)
		}
		switch r.IntN(3) {
		case 0:
			if e.Kind == "admission" {
				break // nobody else's
			}
			again["id"], again["infant"], again["charted"] = fresh(), infants[r.IntN(len(infants))], seen
			add(again)
			amends["movedTo"] = again["id"]
		case 1:
			for _, own := range []string{"id", "infant", "charted", "by"} {
				delete(again, own)
			}
			again["at"] = e.At.Add(-50 * time.Minute).Format(time.RFC3339)
			amends["kind"], amends["entry"] = "correction", again
		}
		add(amends)
		if moment := at.Truncate(time.Second).Add(-1); moment.After(after) {
			before = append(before, moment)
		}
	}
	slices.SortFunc(before, time.Time.Compare)
	for len(before) > 10 {
		before = slices.DeleteFunc(before, func(time.Time) bool { return r.IntN(4) == 0 && len(before) > 10 })
	}
	return out, before
}
