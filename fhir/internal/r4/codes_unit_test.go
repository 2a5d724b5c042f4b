package r4

import (
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cotline/handover"
	"cotline/handover/entry"
)

func unitPolicy(t interface{ Fatal(...any) }, text string) *handover.Policy {
	v, issues := entry.ParseJSON([]byte(text))
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	p, issues := handover.DecodePolicy(v, time.LoadLocation)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	return p
}

func TestUnitCodes(t *testing.T) {
	p := unitPolicy(t, `{"setup":["gases","Gases","bag and mask"],"safety":["bag and mask","suction"],"cares":["eye-care"],
		"alarms":{"power":["plug out"],"oxygen":["plug out","Потёк"],"low-pressure":[],"high-pressure":[]}}`)
	var got []string
	for _, c := range UnitConcepts(p) {
		got = append(got, c.Code+" = "+c.Display)
	}
	want := []string{ // the figures: sha256sum of the name, its first eight
		"care-eye-care = eye-care", "cause---b64ce4e5 = Потёк", "cause-plug-out--f934d85c = plug out",
		"item-bag-and-mask--cc29d9b8 = bag and mask", "item-suction = suction", "step-bag-and-mask--cc29d9b8 = bag and mask",
		"step-gases = gases", "step-gases--71127297 = Gases"}
	if !slices.Equal(got, want) {
		t.Errorf("got %q\nwant %q", got, want)
	}
}

// The code of a name is the same wherever it stands, whatever stands beside it, and the
// same again once it comes back; no two names have one code; and it is a code of R4's
// form (hl7.org/fhir/R4/datatypes.html#code).
func TestUnitCodesStayWhatTheyAre(t *testing.T) {
	form := regexp.MustCompile(`^[^\s]+(\s[^\s]+)*$`)
	codes := func(names []string) map[string]string {
		out := map[string]string{}
		for _, c := range UnitConcepts(&handover.Policy{Setup: names}) {
			if out[c.Display] != "" || !form.MatchString(c.Code) {
				t.Errorf("%q: %q", c.Display, c.Code)
			}
			out[c.Display] = c.Code
		}
		return out
	}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.OneOf(rapid.StringMatching(`[a-zA-Z0-9 -]{1,12}`), rapid.StringN(1, 64, 64))
		names := rapid.SliceOfNDistinct(name, 1, 12, func(s string) string { return s }).Draw(t, "names")
		before := codes(names)
		if len(before) != len(names) {
			t.Fatalf("%d codes of %d names", len(before), len(names))
		}
		edited := rapid.Permutation(names).Draw(t, "reordered")
		renamed := rapid.IntRange(0, len(edited)-1).Draw(t, "renamed")
		former := edited[renamed]
		edited[renamed] = strings.Join(names, "") + " anew"
		for shown, code := range codes(edited) {
			if before[shown] != "" && before[shown] != code {
				t.Fatalf("%q was %s, is %s", shown, before[shown], code)
			}
		}
		edited[renamed] = former
		if again := codes(edited); again[former] != before[former] {
			t.Fatalf("%q was %s, comes back as %s", former, before[former], again[former])
		}
	})
}

// The version of the unit's lists follows from what they hold, not from its order.
func TestUnitVersion(t *testing.T) {
	a := UnitVersion(UnitConcepts(unitPolicy(t, `{"setup":["gases","power"],"safety":["suction"]}`)))
	b := UnitVersion(UnitConcepts(unitPolicy(t, `{"setup":["power","gases"],"safety":["suction"]}`)))
	c := UnitVersion(UnitConcepts(unitPolicy(t, `{"setup":["power","gases"],"safety":["Suction"]}`)))
	if a != b || a == c {
		t.Error(a, b, c)
	}
}
