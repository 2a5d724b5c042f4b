package intake

import (
	"errors"
	"regexp"
	"strconv"
	"strings"
)

// area is a rectangle of cells, rows from 1 and columns from 0.
type area struct{ top, left, bottom, right int }

func (a area) holds(row, column int) bool {
	return a.top <= row && row <= a.bottom && a.left <= column && column <= a.right
}

var refForm = regexp.MustCompile(`^\$?([A-Z]{1,3})\$?([0-9]{1,7})(?::\$?([A-Z]{1,3})\$?([0-9]{1,7}))?$`)

// areaOf reads B3 or B3:D5.
func areaOf(ref string) (area, error) {
	m := refForm.FindStringSubmatch(ref)
	if m == nil {
		return area{}, errors.New("no cells")
	}
	a := area{left: columnOf(m[1]), right: columnOf(m[1])}
	a.top, _ = strconv.Atoi(m[2])
	a.bottom = a.top
	if m[3] != "" {
		a.right = columnOf(m[3])
		a.bottom, _ = strconv.Atoi(m[4])
	}
	return a, nil
}

func columnOf(letters string) int {
	n := 0
	for _, r := range letters {
		n = n*26 + int(r-'A') + 1
	}
	return n - 1
}

// escapes are the format's own, for characters that XML cannot hold and for themselves (ISO/IEC 29500-1, 22.9.2.19).
var escapes = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// unescaped reads them. A half of a character is left as it is written.
func unescaped(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	return escapes.ReplaceAllStringFunc(s, func(e string) string {
		n, err := strconv.ParseUint(e[2:6], 16, 16)
		if err != nil || n >= 0xd800 && n <= 0xdfff {
			return e
		}
		return string(rune(n))
	})
}
