package handover

import (
	"testing"

	"pgregory.net/rapid"
)

// stringAlignment is the distance by its definition, written as it is defined and
// not to be quick (Boytsov L, ACM JEA 2011;16:1.1; from memory).
func stringAlignment(a, b []rune) int {
	i, j := len(a), len(b)
	if i == 0 || j == 0 {
		return max(i, j)
	}
	changed := stringAlignment(a[:i-1], b[:j-1])
	if a[i-1] == b[j-1] {
		return changed
	}
	d := 1 + min(changed, stringAlignment(a[:i-1], b), stringAlignment(a, b[:j-1]))
	if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
		d = min(d, 1+stringAlignment(a[:i-2], b[:j-2]))
	}
	return d
}

// What is quick is exact: by few letters, so that many pairs are near.
func TestAlikeIsTheDistance(t *testing.T) {
	word := rapid.SliceOfN(rapid.SampledFrom([]rune("abcdé\u0431\U0001F600")), 0, 6)
	rapid.Check(t, func(t *rapid.T) {
		a, b := word.Draw(t, "a"), word.Draw(t, "b")
		x, y := lettersOf(a), lettersOf(b)
		for most := range 4 {
			want := len(a) > 0 && len(b) > 0 && stringAlignment(a, b) <= most
			if got := alike(&x, &y, most); got != want || alike(&y, &x, most) != want {
				t.Fatalf("%q and %q at most %d: %v", string(a), string(b), most, got)
			}
		}
	})
}

func TestNormalisedNames(t *testing.T) {
	for name, want := range map[string]string{
		"Ümläut": "umlaut", "O'Brién-Smith": "obriensmith", "STRAẞE": "strasse", "ﬁnch": "finch", "  ": "", "42": "", "Ⅳ": "iv",
		"ŁUK": "łuk", "Σας": "σασ",
	} {
		if got := string(normalised(name)); got != want {
			t.Errorf("%q is %q, want %q", name, got, want)
		}
	}
}
