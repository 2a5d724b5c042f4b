package fhir_test

import (
	"regexp"
	"strings"
	"testing"
	"unicode"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/internal/page"
)

var narratives = regexp.MustCompile(`"div":"(?:[^"\\]|\\.)*"`)

// A record from before direction marks were taken out (Unicode Standard Annex 9, section
// 2) still holds them in names and words. In no narrative may one turn what stands beside
// it; there is a sign in its place.
func TestNoNarrativeIsTurned(t *testing.T) {
	for _, mark := range "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069" {
		if !unicode.Is(unicode.Bidi_Control, mark) {
			t.Fatalf("%U gives no direction", mark)
		}
		text := strings.NewReplacer("~", string(mark)).Replace(`
{"id":"0a5e0009-0000-4000-8000-000000000001","infant":"in-a","kind":"admission","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-03-01","cot":"1~2","mrn":"77","family":"Sed~ge","given":"~Wren"}
{"id":"0a5e0009-0000-4000-8000-000000000002","infant":"in-a","kind":"support","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","state":"started","mode":"cpap","why":"pale~"}
{"id":"0a5e0009-0000-4000-8000-000000000003","infant":"in-a","kind":"note","at":"2026-03-01T08:30:00+01:00","by":"rn-dune","text":"fio2 ~03 now","readOut":true}
{"id":"0a5e0009-0000-4000-8000-000000000004","infant":"in-a","kind":"task","at":"2026-03-01T08:31:00+01:00","by":"rn-dune","text":"ask~"}
{"id":"0a5e0009-0000-4000-8000-000000000005","infant":"in-a","kind":"skin","at":"2026-03-01T08:40:00+01:00","by":"rn-dune","sites":[{"site":"septum","finding":"intact","note":"~dry"}]}
{"id":"0a5e0009-0000-4000-8000-000000000006","infant":"in-a","kind":"told","at":"2026-03-01T08:50:00+01:00","by":"rn-dune","whom":"~mother","about":"tube~"}
{"id":"0a5e0009-0000-4000-8000-000000000007","infant":"in-a","kind":"outlook","at":"2026-03-01T08:55:00+01:00","by":"rn-dune","severity":"watcher","ifThen":[{"if":"~apnoea","then":"call~"}],"callFor":"~"}
{"id":"0a5e0009-0000-4000-8000-000000000008","infant":"in-a","kind":"correction","at":"2026-03-01T08:56:00+01:00","by":"rn-dune","of":"0a5e0009-0000-4000-8000-000000000003","reason":"~again","entry":{"kind":"note","at":"2026-03-01T08:30:00+01:00","text":"fio2 30~"}}`)
		w := handover.Ward{Entries: fixture.Entries(t, []byte(text)), Policy: fixture.SendingAll(t)}
		at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
		all, err := fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Collection()
		if err != nil {
			t.Fatal(err)
		}
		h := handover.Compile(w, at, at, at)
		document, err := fhir.Document(w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy)}, "in-a")
		if err != nil {
			t.Fatal(err)
		}
		for name, out := range map[string][]byte{"collection": all, "document": document} {
			found := narratives.FindAllString(string(out), -1)
			if len(found) < 8 || !strings.ContainsRune(string(out), mark) || !strings.Contains(strings.Join(found, ""), "\ufffd") {
				t.Fatalf("%s, %U: nothing is tried by %d narratives", name, mark, len(found))
			}
			for _, n := range found {
				if strings.ContainsRune(n, mark) {
					t.Errorf("%s: %U in %q", name, mark, n)
				}
			}
		}
	}
}
