package fhir_test

import (
	"maps"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/internal/page"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

// leaving is the policy of the invented wards, sending few types or all, that leaves
// something out.
func leaving(t testing.TB, all bool, words string) *handover.Policy {
	t.Helper()
	p := wardtest.Policy(t, []byte(strings.Replace(string(ward.Policy()), "leave: []", "leave: ["+words+"]", 1)))
	if len(p.FHIR.Leave) == 0 {
		t.Fatal("the policy leaves nothing out")
	}
	if all {
		p.FHIR.Send = fixture.SendingAll(t).FHIR.Send
	}
	return p
}

// What the policy leaves out is not sent, and nothing else changes.
func TestLeave(t *testing.T) {
	w, last := fixture.Random(t, 5, 3, 3)
	ask := fhir.Ask{At: last, Known: last}
	// An entry whose resource is left out is carried by a Basic of its own, and a Provenance
	// is of what is there.
	beside := func(key string) bool {
		return strings.HasPrefix(key, "Basic/") || strings.HasPrefix(key, "Provenance/")
	}
	narrative := func(s string) string {
		before, after, told := strings.Cut(s, `"text":{"status":"`)
		_, after, _ = strings.Cut(after, `</div>"},`)
		if !told || after == "" {
			t.Fatalf("no narrative: %s", s)
		}
		return before + after
	}
	left := map[string]func(key, s string) (string, bool){
		"indices": func(_, s string) (string, bool) {
			return s, !strings.Contains(s, `.index.`)
		},
		"cares": func(_, s string) (string, bool) {
			return s, !strings.Contains(s, `"code":{"coding":[{"system":"https://moonwort.example/fhir/CodeSystem/neonatal-cpap",`+
				`"code":"care"`)
		},
		"narrative": func(_, s string) (string, bool) { return narrative(s), true },
	}
	for _, all := range []bool{false, true} {
		w.Policy = fixture.WardPolicy(t)
		if all {
			w.Policy = fixture.SendingAll(t)
		}
		whole := sent(fixture.Export(t, w, ask))
		for word, stays := range left {
			want, gone := map[string]string{}, 0
			for key, s := range whole {
				if beside(key) {
					continue
				}
				said, there := stays(key, s)
				if !there {
					gone++
				} else {
					want[key] = said
				}
			}
			if gone == 0 && word != "narrative" {
				t.Fatalf("%s: the ward has none", word)
			}
			w.Policy = leaving(t, all, word)
			x := fixture.Export(t, w, ask)
			got := sent(x)
			maps.DeleteFunc(got, func(key, _ string) bool { return beside(key) })
			if d := cmp.Diff(want, got); d != "" {
				t.Errorf("%s: %.2000s", word, d)
			}
			for _, mode := range []fhir.Mode{fhir.Put, fhir.Conditional} {
				if _, err := x.Transaction(mode); err != nil {
					t.Errorf("%s: %v", word, err)
				}
			}
			if _, err := x.Collection(); err != nil {
				t.Errorf("%s: %v", word, err)
			}
		}
	}
}

// A document is whole: it is the same whatever is left out elsewhere.
func TestDocumentsLeaveNothingOut(t *testing.T) {
	w, last := fixture.Random(t, 5, 2, 2)
	documents := func(p *handover.Policy) (out []string) {
		w.Policy = p
		h := handover.Compile(w, last, last, last.Add(-12*time.Hour))
		h.Policy = "the same"
		for _, s := range h.Infants {
			text, err := fhir.Document(w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy)}, s.Infant)
			if err != nil {
				t.Fatal(err)
			}
			out = append(out, string(text))
		}
		return out
	}
	if d := cmp.Diff(documents(fixture.WardPolicy(t)), documents(leaving(t, false, "indices, cares, narrative"))); d != "" {
		t.Error(d)
	}
}

// Differences hold to what is left out as the whole does. What was sent before the policy
// came to leave it out is not told of again, nor withdrawn: it was true when it was sent.
func TestDifferencesLeaveOutToo(t *testing.T) {
	for seed := range fixture.Seeds(3, 2) {
		w, last := fixture.Random(t, seed, 3, 2)
		w.Policy = leaving(t, seed%2 == 0, "indices, cares, narrative")
		at := last.Add(-24 * time.Hour)
		held := receiver{}
		held.take(t, fixture.Export(t, w, fhir.Ask{At: at, Known: at}))
		d := fixture.Delta(t, w, at, fhir.Ask{At: last, Known: last})
		held.take(t, d)
		for key, want := range sent(fixture.Export(t, w, fhir.Ask{At: last, Known: last})) {
			if d := cmp.Diff(want+"\n", held[key]); d != "" {
				t.Fatalf("ward %d: %s: %s", seed, key, d)
			}
		}
		for _, r := range d.Resources {
			s := string(r.JSON)
			if strings.Contains(s, `"text":{"status":"`) {
				t.Fatalf("ward %d: a narrative: %s", seed, s)
			}
			if strings.Contains(s, `"code":"spo2-fio2-ratio"`) || strings.HasSuffix(r.Identifier.Value, ".care") {
				t.Fatalf("ward %d: told of what is left out: %s", seed, s)
			}
		}
	}
}
