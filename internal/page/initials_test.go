package page

import (
	"slices"
	"strings"
	"testing"

	"cotline/handover"

	"github.com/google/go-cmp/cmp"
)

// A letter is what a reader takes for one, its marks with it (Unicode Standard
// Annex 29), composed or not.
func TestInitials(t *testing.T) {
	for name, want := range map[string]string{
		"": "", "Feldspar": "F.", "rain": "r.",
		"Żołądź": "Ż.", "Sương Mùa": "S. M.", "Łąka": "Ł.", "Κύμα Ήλιος": "Κ. Ή.", "ندى": "ن.",
		"U\u031bng":        "U\u031b.",       // Ư, decomposed
		"E\u0323\u0302m":   "E\u0323\u0302.", // Ệ, decomposed
		"Sương-Mùa":        "S.-M.",
		"Frost\u2010Thaw":  "F.-T.", // the hyphen that is nothing else
		"O'Mist":           "O.",
		"\u2019t Veld":     "t. V.",
		"d\u2019Orage":     "d.",
		"(Haze)":           "H.",
		"Fog 2":            "F. 2.",
		"  Rime \t Hail  ": "R. H.",
		"-":                "?",
		"??":               "?.",
	} {
		if got := initials(name); got != want {
			t.Errorf("initials of %q: %q, want %q", name, got, want)
		}
	}
}

// With initials no name stands on a sheet or a screen, neither of the infants asked
// for nor of look-alikes and those who left; cots, numbers and labels stay, and
// what was handed in is untouched.
func TestNoNameWithInitials(t *testing.T) {
	cut := twoInfants()
	cut.Infants, cut.Elsewhere = cut.Infants[1:], cut.Infants[:1]
	renamed := twoInfants()
	renamed.Infants[0].Changes = append(renamed.Infants[0].Changes, handover.Change{Path: "name",
		From: &handover.ChangeValue{Text: "Κύμα שלכת"}, To: &handover.ChangeValue{Text: "Łąka Sương-Mùa"}, Why: "happened"})
	for _, h := range []*handover.Handover{twoInfants(), cut, renamed, demo(t)} {
		before := JSON(h)
		faces := map[string]string{}
		for form, o := range map[string]Options{"short ": {Initials: true}, "": {Initials: true, Full: true}} {
			faces[form+"text"], faces[form+"html"] = terminalText(t, h, o), printedPage(t, h, o)
		}
		if diff := cmp.Diff(string(before), string(JSON(h))); diff != "" {
			t.Fatalf("the handover was changed:\n%s", diff)
		}
		var names []string
		for _, f := range slices.Concat(h.Infants, h.Elsewhere) {
			names = append(names, strings.Fields(f.Family+" "+f.Given+" "+f.Formerly)...)
		}
		for _, l := range h.Left {
			names = append(names, strings.Fields(l.Family+" "+l.Given)...)
		}
		if len(names) < 4 {
			t.Fatal("no names to look for")
		}
		for face, text := range faces {
			for _, name := range names {
				if strings.Contains(text, name) && name != "<b>" {
					t.Errorf("%s has the name %s", face, name)
				}
			}
			for _, f := range h.Infants {
				for _, stays := range []string{f.Cot, f.MRN, f.Temporary, f.Infant} {
					if !strings.Contains(text, stays) && (stays != f.Infant || !strings.HasPrefix(face, "short")) {
						t.Errorf("%s: %s is not in the %s", f.Infant, stays, face)
					}
				}
			}
		}
	}
	if text := terminalText(t, demo(t), Options{Initials: true, Full: true}); !strings.Contains(strings.NewReplacer(isolate, "", release,
		"").Replace(text), "COT Fern 2: F., S., number 7306214") {
		t.Errorf("the heading is\n%.600s", text[strings.Index(text, "COT "):])
	}
}
