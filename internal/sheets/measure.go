package sheets

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// measured is what a sheet is known to hold before its first row is written.
type measured struct {
	rows   int
	widths []int // in digits
}

// measure reads all rows once: it refuses what a cell cannot hold before anything is written, and finds the widths that
// show every number and date whole and let texts wrap.
func (s sheet) measure() (measured, error) {
	m := measured{widths: make([]int, len(s.heads))}
	seen := map[string]bool{}
	solid := make([]int, len(s.heads))   // widest of what cannot be broken over lines
	longest := make([]int, len(s.heads)) // widest text
	for i, h := range s.heads {
		if folded := strings.ToLower(h); h == "" || seen[folded] {
			return m, fmt.Errorf("sheet %s: header %q stands twice or is empty", s.name, h)
		} else {
			seen[folded] = true
		}
		if why := unfit(h); why != "" {
			return m, Refused{Sheet: s.name, Row: headerRow, Column: fmt.Sprint(i + 1), Why: why}
		}
		solid[i] = longestPiece(h) + 1 // in bold type
	}
	for key, row := range s.ahead() {
		m.rows++
		for i, c := range row {
			if why := c.unfit(); why != "" {
				return m, Refused{Sheet: s.name, Row: headerRow + m.rows, Column: s.heads[i], Of: key, Why: why}
			}
			switch c.show {
			case showNumber:
				solid[i] = max(solid[i], len(c.number.String()))
			case showMoment:
				solid[i] = max(solid[i], len(momentFormat))
			case showDay:
				solid[i] = max(solid[i], len(dayFormat))
			default:
				if solid[i] < mostPiece && !fits(c.text, solid[i]) {
					solid[i] = max(solid[i], longestPiece(c.text))
				}
				if !fits(c.text, longest[i]) {
					longest[i] = max(longest[i], digits(c.text))
				}
			}
		}
	}
	for i := range m.widths {
		m.widths[i] = max(min(solid[i], mostWidth), min(longest[i], lineOf(longest[i], s.wraps[i])))
	}
	return m, nil
}

const (
	mostWidth = 120
	mostLines = 24 // a row is at most 409 points high: lines beyond would be cut
)

// lineOf is how wide a column is made for its longest text: as asked, or wider so that the row can show it.
func lineOf(longest, wrap int) int {
	return min(max(wrap, longest/mostLines), mostWidth)
}

// longestPiece is the width of the longest stretch in which a line cannot break, as it may after a space or a hyphen; what
// is longer than a line breaks anywhere.
func longestPiece(s string) int {
	longest, n := 0, 0
	for _, r := range s {
		if r == ' ' {
			n = 0
			continue
		}
		n += widthOf(r)
		longest = max(longest, n)
		if r == '-' {
			n = 0
		}
	}
	return min((longest+9)/10, mostPiece)
}

const mostPiece = 24

// linesOf is how many lines a text takes in a column of so many digits.
func linesOf(s string, width int) int {
	width *= 10
	lines, used, piece := 1, 0, 0
	place := func(space int) { // the piece and the space after it
		if used > 0 && used+piece > width {
			lines++
			used = 0
		}
		if piece > width { // breaks anywhere
			lines += (piece - 1) / width
			piece = (piece-1)%width + 1
		}
		used += piece + space
		piece = 0
	}
	for _, r := range s {
		switch r {
		case '\n':
			if piece > 0 {
				place(0)
			}
			lines++
			used = 0
		case ' ':
			place(widthOf(r))
		case '-':
			piece += widthOf(r)
			place(0)
		default:
			piece += widthOf(r)
		}
	}
	if piece > 0 {
		place(0)
	}
	return lines
}

// digits is about how wide a text is, in digits.
func digits(s string) int { return (tenths(s) + 9) / 10 }

// tenths is about how wide a text is in the default type, in tenths of a digit: widths are counted in digits.
func tenths(s string) int {
	n := 0
	for _, r := range s {
		n += widthOf(r)
	}
	return n
}

func widthOf(r rune) int {
	switch {
	case r < utf8.RuneSelf:
		return int(ascii[r])
	case r < 0x1100:
		return 13
	}
	return 20
}

// mostOfByte is how many tenths of a digit a byte of a text can add to its width.
const mostOfByte = 17

// fits says of a text, without a look at it, that it cannot be wider than so many digits; false says nothing.
func fits(s string, width int) bool { return len(s)*mostOfByte <= width*10 }

// ascii is how wide each of the first characters is, in tenths of a digit.
var ascii = func() (widths [utf8.RuneSelf]uint8) {
	for r := range widths {
		switch {
		case strings.ContainsRune(" .,;:'|!ijl", rune(r)):
			widths[r] = 5
		case strings.ContainsRune("ftr()-/I", rune(r)):
			widths[r] = 7
		case strings.ContainsRune("mwMW@%", rune(r)):
			widths[r] = mostOfByte
		case r < 'A' || r >= 'a' && r <= 'z':
			widths[r] = 10
		default:
			widths[r] = 13
		}
	}
	return widths
}()
