package page

import (
	"strings"
	"testing"

	"cotline/handover"
)

// Of a restricted infant no name stands anywhere, former ones, what changed and
// who left included.
func TestRestrictedHasNoName(t *testing.T) {
	for face, page := range faces(t, twoInfants()) {
		for _, name := range []string{"Hiddenname", "Nobody", "Hiddenformer", "Hiddenleft", "Nobodyleft"} {
			if strings.Contains(page, name) {
				t.Errorf("%s has %s", face, name)
			}
		}
		if face != "json" && strings.Count(page, "name not shown") < 3 {
			t.Errorf("%s does not say that a name is not shown", face)
		}
		if face == "json" && strings.Count(page, `"restricted": true`) != 2 {
			t.Error("json does not say who is restricted")
		}
	}
}

// The same of the demo ward, whose names are charted.
func TestDemoRestrictedHasNoName(t *testing.T) {
	h := demo(t)
	var hidden *handover.Summary
	for _, f := range h.Infants {
		if f.Restricted {
			hidden = f
		}
	}
	if hidden == nil {
		t.Fatal("no restricted infant in the demo")
	}
	for face, page := range faces(t, h) {
		if !strings.Contains(page, hidden.MRN) {
			t.Errorf("%s leaves the restricted infant out", face)
		}
		for _, name := range []string{"Travertine", "Gust"} { // as charted at admission
			if strings.Contains(page, name) {
				t.Errorf("%s has %s", face, name)
			}
		}
	}
}
