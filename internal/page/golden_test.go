package page

import (
	"flag"
	"os"
	"path/filepath"
	"testing"

	"cotline/handover"

	"github.com/google/go-cmp/cmp"
)

var update = flag.Bool("update", false, "write the golden files anew; look at the difference before it is committed")

// faces are all of them, by the ending of their golden files; those without a word
// before it hold every fact.
func faces(t testing.TB, h *handover.Handover) map[string]string {
	t.Helper()
	out := map[string]string{"json": string(JSON(h))}
	for form, o := range map[string]Options{"": {Full: true}, "short.": {}} {
		out[form+"txt"], out[form+"html"] = terminalText(t, h, o), printedPage(t, h, o)
	}
	return out
}

func TestGolden(t *testing.T) {
	for ending, got := range faces(t, twoInfants()) {
		file := filepath.Join("testdata", "two-infants."+ending)
		if *update {
			if err := os.WriteFile(file, []byte(got), 0o644); err != nil {
				t.Fatal(err)
			}
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(string(want), got); diff != "" {
			t.Errorf("%s (-want +got):\n%s", file, diff)
		}
	}
}

// The same facts give the same bytes, whatever the run.
func TestFacesAreDeterministic(t *testing.T) {
	first, second := faces(t, twoInfants()), faces(t, twoInfants())
	for ending := range first {
		if first[ending] != second[ending] {
			t.Errorf("%s differs between two runs", ending)
		}
	}
}
