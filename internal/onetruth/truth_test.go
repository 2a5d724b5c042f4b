package onetruth

import (
	"maps"
	"slices"
	"testing"
)

// TestOneTruth takes every fact of whole wards out of every face and holds them
// equal: no fact is missing on a face that is to tell it, none is told that the
// others do not know, numbers keep their decimals and moments their offset, and
// what was not charted, does not apply, or was looked for and not found, is told
// apart. Each infant is read by itself. The PDF is held by TestOneTruthOnPaper.
func TestOneTruth(t *testing.T) {
	for _, name := range slices.Sorted(maps.Keys(wards())) {
		t.Run(name, func(t *testing.T) {
			facesOnce(t, name).hold(t, "", func(face string, faults []string) bool {
				for _, fault := range faults {
					t.Errorf("%s: %s", face, fault)
				}
				return true
			})
		})
	}
}

// hold compares every face with handover.json, or one of them, and says where each
// differs, until say has heard enough.
func (f faces) hold(t testing.TB, one string, say func(face string, faults []string) (more bool)) {
	t.Helper()
	truth := factsOfJSON(t, f.json)
	check := func(face string, want facts, got *faceReader, column func(row) string) bool {
		return say(face, slices.Concat(got.faults, differ(want, got.facts), got.misplaced(column)))
	}
	for _, face := range []struct {
		name string
		hold func()
	}{
		{"handover.json", func() { say("handover.json", unclaimed(truth)) }},
		{"text", func() { check("text", truth.expectedInWords(), factsOfText(f), inWords) }},
		{"page", func() { check("page", truth.expectedInWords(), factsOfHTML(t, f), inWords) }},
		{"workbook", func() { check("workbook", truth.expectedInTables(), f.factsOfTables(tablesOfBook(t, f)), inBook) }},
		{"CSV", func() { check("CSV", truth.expectedInTables(), f.factsOfTables(tablesOfCSV(t, f)), inBook) }},
		{"document", func() {
			for _, who := range truth.infants() {
				x := factsOfDocument(t, f, truth, who)
				if !check("document", truth.expectedInFHIR(x, true), x.faceReader, inFHIR) {
					return
				}
			}
		}},
		{"transaction", func() {
			sent := resourcesOf(t, f.transaction)
			for _, who := range truth.infants() {
				x := factsOfTransaction(f, truth, who, sent)
				x.began = about(f, truth, who, resourcesOf(t, f.documents[who])).admitted()
				if !say("transaction", x.contradicted()) || !check("transaction", truth.expectedInFHIR(x, false), x.faceReader, inFHIR) {
					return
				}
			}
		}},
	} {
		if one == "" || one == face.name {
			face.hold()
		}
	}
}

// infants are the keys of all.
func (f facts) infants() (out []string) {
	for _, key := range f.keys() {
		if general(key) == "infant" {
			out = append(out, f[key])
		}
	}
	return out
}

func inWords(r row) string { return r.words }
func inBook(r row) string  { return r.book }
func inFHIR(r row) string  { return r.fhir }
