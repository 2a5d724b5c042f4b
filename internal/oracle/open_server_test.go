//go:build outside

package oracle

import (
	"encoding/json"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/internal/wardtest"
)

// A HAPI server takes what an import team sends it: the whole, the whole again 13 hours
// later, the difference after another 13, and the whole once more. After each, nothing is
// open there that is not open in the record: of the example ward, and of a random one with
// more admissions, drivers and entries that were taken back, moved or corrected than any
// ward has. All that ever stands open is sent with what it refers to; of the rest, one of each
// type. What other shapes come to there is for the other tests of this server.
func TestServerHoldsNothingOpen(t *testing.T) {
	t.Parallel()
	example, end := demo(t)
	t.Run("example ward, put", func(t *testing.T) { holdOpen(t, wardtest.Ward{Ward: everyType(example), At: end}, fhir.Put) })
	w := wardtest.Random(t, 23, 6, 2)
	w.Ward = everyType(w.Ward)
	w.At = w.At.Add(6 * time.Hour) // all is written down
	w.Entries, _ = wardtest.Shaken(t, w.Entries, 23, w.At)
	t.Run("random ward, conditional", func(t *testing.T) { holdOpen(t, w, fhir.Conditional) })
}

func holdOpen(t *testing.T, w wardtest.Ward, mode fhir.Mode) {
	wholeOf := func(at time.Time) *fhir.Export { return exported(t, w.Ward, fhir.Ask{At: at, Known: at}) }
	var moments []time.Time
	var loads []*fhir.Export
	for n := range 4 {
		moments = append(moments, w.At.Add(time.Duration(n-3)*13*time.Hour))
		loads = append(loads, wholeOf(moments[n]))
	}
	record := slices.Clone(loads) // the whole of each moment, made for it alone
	var err error
	if loads[2], err = fhir.Delta(w.Ward, moments[1], fhir.Ask{At: moments[2], Known: moments[2]}); err != nil {
		t.Fatal(err)
	}
	stood := map[string]bool{}
	for _, x := range loads {
		maps.Copy(stood, openIn(t, x))
	}
	for kind := range openStatus {
		if !slices.ContainsFunc(slices.Collect(maps.Keys(stood)), func(key string) bool { return strings.HasPrefix(key, kind+"/") }) {
			t.Errorf("no %s ever stands open", kind)
		}
	}
	if !*whole {
		types := map[string]bool{}
		for _, r := range loads[len(loads)-1].Resources {
			if !types[r.Type] {
				types[r.Type], stood[r.Key()] = true, true
			}
		}
		loads = closed(t, func(r *fhir.Resource) bool { return stood[r.Key()] }, loads...)
	}
	s := startServer(t)
	sent := &fhir.Export{}
	for n, x := range loads {
		parts, err := x.Transactions(fhir.Sending{Mode: mode, Entries: 500})
		if err != nil {
			t.Fatal(err)
		}
		for _, b := range parts {
			s.take(t, b)
		}
		sent.Resources = append(sent.Resources, x.Resources...)
		is := openIn(t, record[n])
		count := map[string]int{}
		for key, h := range s.everything(t, sent) {
			if !isOpen(t, h.Type, h.JSON) {
				continue
			}
			if !is[key] {
				t.Errorf("after load %d, %s is open at the server, and not in the record: %s", n+1, key, h.JSON)
			}
			delete(is, key)
			count[h.Type]++
		}
		if len(is) > 0 {
			t.Errorf("after load %d, these are open in the record, and not at the server: %v", n+1, slices.Sorted(maps.Keys(is)))
		}
		t.Logf("load %d: open are %v", n+1, count)
	}
}

// openStatus are the statuses by which a resource says that something is still so, of a
// type whose status tells it.
var openStatus = map[string][]string{
	"Task":               {"requested", "received", "accepted", "ready", "in-progress", "on-hold", "draft"},
	"Device":             {"active"},
	"DeviceUseStatement": {"active", "intended", "on-hold"},
	"Encounter":          {"planned", "arrived", "triaged", "in-progress", "onleave"},
	"Flag":               {"active"},
}

func isOpen(t *testing.T, kind string, text []byte) bool {
	t.Helper()
	var r struct{ Status string }
	if err := json.Unmarshal(text, &r); err != nil {
		t.Fatal(err)
	}
	return slices.Contains(openStatus[kind], r.Status)
}

// openIn is what stands open in an export, by Type/id.
func openIn(t *testing.T, x *fhir.Export) map[string]bool {
	t.Helper()
	out := map[string]bool{}
	for _, r := range x.Resources {
		if isOpen(t, r.Type, r.JSON) {
			out[r.Key()] = true
		}
	}
	return out
}
