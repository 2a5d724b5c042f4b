package page

import (
	"strings"
	"unicode"

	"github.com/rivo/uniseg"
)

// Widths of the characters from space to ~ in hundredths of the font size, each
// the wider of DejaVu Sans and Liberation Sans (the advance widths that the fonts
// themselves declare): a picture names several fonts, and no label may run into
// the next in any of them.
var (
	regularWidths = [95]uint8{32, 41, 46, 84, 64, 96, 78, 28, 40, 40, 50, 84, 32, 37, 32, 34, 64, 64, 64, 64, 64, 64, 64, 64, 64, 64,
		34, 34, 84, 84, 84, 56,
		102, 69, 69, 73, 78, 67, 62, 78, 76, 30, 50, 67, 56, 87, 75, 79, 67, 79, 73, 67, 62, 74, 69, 99, 69, 67, 69, 40, 34, 40, 84, 56,
		50, 62, 64, 55, 64, 62, 36, 64, 64, 28, 28, 58, 28, 98, 64, 62, 64, 64, 42, 53, 40, 64, 60, 82, 60, 60, 53, 64, 34, 64, 84}
	boldWidths = [95]uint8{35, 46, 53, 84, 70, 101, 88, 31, 46, 46, 53, 84, 38, 42, 38, 37, 70, 70, 70, 70, 70, 70, 70, 70, 70, 70,
		40, 40, 84, 84, 84, 62,
		100, 78, 77, 74, 84, 69, 69, 83, 84, 38, 56, 78, 64, 100, 84, 86, 74, 86, 78, 73, 69, 82, 78, 111, 78, 73, 73, 46, 37, 46, 84, 56,
		50, 68, 72, 60, 72, 68, 44, 72, 72, 35, 35, 67, 35, 105, 72, 69, 72, 72, 50, 60, 48, 72, 66, 93, 65, 66, 59, 72, 37, 72, 84}
)

// anyWidth is more than any other character of these fonts takes; a few that
// pictures use have their own.
const anyWidth = 125

var signWidths = map[rune]int{'–': 56, '×': 84, '…': 100}

// inkWidth is at least what s takes in a line of a font size.
func inkWidth(s string, size int, bold bool) int {
	widths := &regularWidths
	if bold {
		widths = &boldWidths
	}
	sum := 0
	for _, r := range s {
		switch {
		case r >= ' ' && r <= '~':
			sum += int(widths[r-' '])
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		case signWidths[r] > 0:
			sum += signWidths[r]
		default:
			sum += anyWidth
		}
	}
	return (sum*size + 99) / 100
}

// shortened is s, its end left out where it takes more than a width. It is for
// names of supplies and the like, never for what tells an infant from another.
func shortened(s string, width, size int, bold bool) string {
	if inkWidth(s, size, bold) <= width {
		return s
	}
	const cut = "…"
	left := width - inkWidth(cut, size, bold)
	var b strings.Builder
	for rest, state := s, -1; rest != ""; {
		var cluster string
		cluster, rest, _, state = uniseg.FirstGraphemeClusterInString(rest, state)
		if left -= inkWidth(cluster, size, bold); left < 0 {
			break
		}
		b.WriteString(cluster)
	}
	return strings.TrimSpace(b.String()) + cut
}
