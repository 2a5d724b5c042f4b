package sheets

import (
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

// No character is wider than its bytes allow, so that a text may be passed over for its length alone.
func TestNoCharacterIsWiderThanItsBytes(t *testing.T) {
	for r := range rune(utf8.MaxRune + 1) {
		if widthOf(r) > mostOfByte*utf8.RuneLen(r) && utf8.ValidRune(r) {
			t.Fatalf("%U is %d wide", r, widthOf(r))
		}
	}
}

// The longest piece is that of the pieces between which a line may break, each without the space after it.
func TestLongestPiece(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[ a-m0-9W.é東\n-]{0,60}`).Draw(t, "text")
		want := 0
		for p := range pieces(s) {
			want = max(want, digits(strings.TrimRight(p, " ")))
		}
		if got := longestPiece(s); got != min(want, mostPiece) {
			t.Fatalf("%q: %d, want %d", s, got, want)
		}
	})
}
