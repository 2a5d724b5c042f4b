package page

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"cotline/handover"
)

// A damaged record is told first on every face, under no chain, and a sound one is
// not told of.
func TestWarningOnEveryFace(t *testing.T) {
	h := twoInfants()
	h.Chain, h.Findings = "", []string{"position 7: the chain does not hold", "second", "third", "fourth", "fifth"}
	faces := map[string]func() string{
		"text": func() string { var b bytes.Buffer; Text(&b, h, Options{}); return b.String() },
		"json": func() string { return string(JSON(h)) },
		"html": func() string { var b bytes.Buffer; HTML(&b, h, handover.Ward{}, Options{}); return b.String() },
	}
	for name, face := range faces {
		text := face()
		at := strings.Index(text, "WARNING: THIS RECORD IS DAMAGED")
		caution := strings.Index(text, "Aid to handover: not a device")
		if at < 0 || name != "json" && caution < at {
			t.Errorf("%s: the warning is at %d, the caution at %d", name, at, caution)
		}
		flat := strings.Join(strings.Fields(text), " ")
		if !strings.Contains(flat, "position 7: the chain does not hold") || !strings.Contains(flat, "and 2 more") {
			t.Errorf("%s does not tell what was found", name)
		}
	}
	var first struct{ Warning string }
	text := JSON(h)
	if err := json.Unmarshal(text, &first); err != nil || first.Warning == "" || !strings.HasPrefix(string(text), "{\n  \"warning\"") {
		t.Errorf("the warning is not the first key: %.60s", text)
	}
	if n := strings.Count(faces["html"](), "RECORD DAMAGED: see the first sheet"); n < len(h.Infants) {
		t.Errorf("of %d infants' sheets %d tell", len(h.Infants), n)
	}
	h.Findings = nil
	for name, face := range faces {
		if strings.Contains(face(), "DAMAGED") {
			t.Errorf("%s: a sound record is called damaged", name)
		}
	}
}
