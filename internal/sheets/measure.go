package sheets

import (
	"fmt"
	"iter"
	"strings"
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
	for key, row := range s.rows {
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
				solid[i] = max(solid[i], longestPiece(c.text))
				longest[i] = max(longest[i], digits(c.text))
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

// pieces are the stretches of a text between which a line may break: after a space or a hyphen.
func pieces(s string) iter.Seq[string] {
	return func(yield func(string) bool) {
		for s != "" {
			i := strings.IndexAny(s, " -")
			if i < 0 {
				i = len(s) - 1
			}
			if !yield(s[:i+1]) {
				return
			}
			s = s[i+1:]
		}
	}
}

// longestPiece is the width of the longest stretch that cannot break; what is longer than a line breaks anywhere.
func longestPiece(s string) int {
	const most = 24
	longest := 0
	for p := range pieces(s) {
		longest = max(longest, digits(strings.TrimRight(p, " ")))
	}
	return min(longest, most)
}

// linesOf is how many lines a text takes in a column of so many digits.
func linesOf(s string, width int) int {
	width *= 10
	lines := 0
	for line := range strings.SplitSeq(s, "\n") {
		lines++
		used := 0
		for p := range pieces(line) {
			n := tenths(strings.TrimRight(p, " "))
			if used > 0 && used+n > width {
				lines++
				used = 0
			}
			if n > width { // breaks anywhere
				lines += (n - 1) / width
				n = (n-1)%width + 1
			}
			used += n + tenths(p) - tenths(strings.TrimRight(p, " "))
		}
	}
	return lines
}

// digits is about how wide a text is, in digits.
func digits(s string) int { return (tenths(s) + 9) / 10 }

// tenths is about how wide a text is in the default type, in tenths of a digit: widths are counted in digits.
func tenths(s string) int {
	n := 0
	for _, r := range s {
		switch {
		case strings.ContainsRune(" .,;:'|!ijl", r):
			n += 5
		case strings.ContainsRune("ftr()-/I", r):
			n += 7
		case strings.ContainsRune("mwMW@%", r):
			n += 17
		case r < 'A' || r >= 'a' && r <= 'z':
			n += 10
		case r < 0x1100:
			n += 13
		default:
			n += 20
		}
	}
	return n
}
