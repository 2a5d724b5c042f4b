package handover

import (
	"cmp"
	"strings"

	"cotline/handover/entry"
)

// byCot orders cots: digits inside words as numbers.
func byCot(a, b string) int {
	for a != "" && b != "" {
		x, restA := piece(a)
		y, restB := piece(b)
		if entry.IsDigit(x[0]) && entry.IsDigit(y[0]) {
			x, y = strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
			if c := cmp.Compare(len(x), len(y)); c != 0 {
				return c
			}
		}
		if c := cmp.Compare(x, y); c != 0 {
			return c
		}
		a, b = restA, restB
	}
	return cmp.Compare(len(a), len(b))
}

// piece splits off a run of digits, or of anything else.
func piece(s string) (first, rest string) {
	i := 1
	for i < len(s) && entry.IsDigit(s[i]) == entry.IsDigit(s[0]) {
		i++
	}
	return s[:i], s[i:]
}
