package wardtest

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
	"time"

	"cotline/handover/entry"
)

// began are the kinds that begin what can stand open.
var began = []string{"admission", "support", "interface", "circuit", "bonnet", "tube", "calibration", "task", "plan"}

// Shaken are a ward's entries with more that was wrong: of those that begin something some
// are taken back, moved to another infant, or corrected to have been earlier. The moments
// are those before some of that was written down, after the one that is given.
func Shaken(t testing.TB, entries []*entry.Entry, seed uint64, after time.Time) (out []*entry.Entry, before []time.Time) {
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
		out = append(out, MustEntry(t, string(text)))
	}
	fresh := func() string { n++; return fmt.Sprintf("5a4e0000-0000-4000-8000-%04d%08d", seed, n) }
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
