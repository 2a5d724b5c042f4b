package intake

import (
	"errors"
	"strconv"
	"strings"
)

// area is a rectangle of cells, rows from 1 and columns from 0.
type area struct{ top, left, bottom, right int }

func (a area) holds(row, column int) bool {
	return a.top <= row && row <= a.bottom && a.left <= column && column <= a.right
}

// areaOf reads B3 or B3:D5.
func areaOf(ref string) (area, error) {
	first, last, two := strings.Cut(ref, ":")
	row, column, ok := cellOf(first)
	a := area{top: row, left: column, bottom: row, right: column}
	if two && ok {
		a.bottom, a.right, ok = cellOf(last)
	}
	if !ok {
		return area{}, errors.New("no cells")
	}
	return a, nil
}

// cellOf reads B3 or $B$3: at most three letters and seven digits.
func cellOf(s string) (row, column int, ok bool) {
	s = strings.TrimPrefix(s, "$")
	n := 0
	for n < len(s) && 'A' <= s[n] && s[n] <= 'Z' {
		column = column*26 + int(s[n]-'A') + 1
		n++
	}
	digits := strings.TrimPrefix(s[n:], "$")
	if n == 0 || n > 3 || digits == "" || len(digits) > 7 {
		return 0, 0, false
	}
	for i := range len(digits) {
		if digits[i] < '0' || digits[i] > '9' {
			return 0, 0, false
		}
		row = row*10 + int(digits[i]-'0')
	}
	return row, column - 1, true
}

// unescaped reads the format's own escapes, as _x000A_, for characters that XML cannot hold and for themselves
// (ISO/IEC 29500-1, 22.9.2.19). A half of a character is left as it is written.
func unescaped(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	const long = len("_x000A_")
	var b strings.Builder
	for {
		i := strings.Index(s, "_x")
		if i < 0 {
			b.WriteString(s)
			return b.String()
		}
		b.WriteString(s[:i])
		s = s[i:]
		if len(s) >= long && s[long-1] == '_' {
			if n, err := strconv.ParseUint(s[2:long-1], 16, 16); err == nil {
				if n >= 0xd800 && n <= 0xdfff {
					b.WriteString(s[:long])
				} else {
					b.WriteRune(rune(n))
				}
				s = s[long:]
				continue
			}
		}
		b.WriteString(s[:1])
		s = s[1:]
	}
}
