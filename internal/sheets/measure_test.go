package sheets

import (
	"regexp"
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

// Widths and lines of any text are those found from its pieces one by one.
func TestPieces(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		parts := rapid.SliceOfN(rapid.SampledFrom([]string{" ", "-", "\n", "a", "fit", "W", "12", ".", "é", "東"}), 0, 90).Draw(t, "text")
		s := strings.Join(parts, "")
		longest := 0
		for _, p := range pieces(s) {
			longest = max(longest, digits(strings.TrimRight(p, " ")))
		}
		if got := longestPiece(s); got != min(longest, mostPiece) {
			t.Fatalf("%q: longest %d, want %d", s, got, longest)
		}
		width := rapid.IntRange(1, 40).Draw(t, "width")
		lines := 0
		for line := range strings.SplitSeq(s, "\n") {
			lines++
			used := 0 // tenths of a digit
			for _, p := range pieces(line) {
				bare, all := tenths(strings.TrimRight(p, " ")), tenths(p)
				if used > 0 && used+bare > width*10 {
					lines, used = lines+1, 0
				}
				if bare > width*10 { // breaks anywhere
					lines += (bare - 1) / (width * 10)
					used -= (bare - 1) / (width * 10) * width * 10
				}
				used += all
			}
		}
		if got := linesOf(s, width); got != lines {
			t.Fatalf("%q in %d: %d lines, want %d", s, width, got, lines)
		}
	})
}

// pieces are the stretches of a text between which a line may break: after a space or a hyphen.
func pieces(s string) []string { return regexp.MustCompile(`[^ -]*[ -]|[^ -]+`).FindAllString(s, -1) }
