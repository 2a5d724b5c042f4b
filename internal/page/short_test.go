package page

import (
	"slices"
	"strings"
	"testing"

	"cotline/handover"
)

// blocks are the parts of the short form, an infant each.
func blocks(t testing.TB, h *handover.Handover) [][]string {
	t.Helper()
	parts := strings.Split(strings.TrimRight(terminalText(t, h, Options{}), "\n"), "\n\n")
	parts = parts[len(parts)-len(h.Infants):]
	var out [][]string
	for _, part := range parts {
		out = append(out, strings.Split(part, "\n"))
	}
	return out
}

// An infant takes at most 13 lines of 100 columns at the ninth decile of random
// wards. A note to be read out may take more: it is left away here.
func TestShortIsShort(t *testing.T) {
	var lines []int
	for seed := range uint64(30) {
		h := random(t, seed)
		for _, f := range h.Infants {
			f.Attention = slices.DeleteFunc(f.Attention, func(a handover.Attention) bool { return a.What == "read-out" })
		}
		for i, block := range blocks(t, h) {
			if !strings.HasPrefix(block[0], h.Infants[i].Cot+" ") {
				t.Fatalf("seed %d: the block of %s begins with %q", seed, h.Infants[i].Cot, block[0])
			}
			lines = append(lines, len(block))
		}
	}
	slices.Sort(lines)
	n := len(lines)
	t.Logf("%d infants: median %d lines, ninth decile %d, most %d", n, lines[n/2], lines[n*9/10], lines[n-1])
	if got := lines[n*9/10]; got > shortLines {
		t.Errorf("%d lines at the ninth decile, want %d", got, shortLines)
		over, _ := slices.BinarySearch(lines, shortLines+1)
		t.Log(over*100/n, "% within")
	}
}
