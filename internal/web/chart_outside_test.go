//go:build outside

package web

import "testing"

// By touch on a tablet: a routine round in at most 6 touches and 12 keys, printed;
// everything to touch is 15 mm and 3 mm apart; axe-core finds nothing on pages of
// charting, in both themes and at 200 %.
func TestChartingByTouch(t *testing.T) {
	b := newServer(t, nil)
	plain, alike := b.infant(t, false), b.infant(t, true)
	var sheets []string
	for _, s := range sheetsOf(plain.Infant) {
		sheets = append(sheets, s.name)
	}
	// Of plain forms one of each sort of control is looked at closely; all are measured.
	kinds := []string{"identity", "skin", "calibration", "outlook"}
	for _, s := range rounds() {
		kinds = append(kinds, s.name)
	}
	said := b.drive(t, "round.mjs", map[string]any{"name": "nurse", "infant": infantPath("fern", plain.Infant),
		"alike": infantPath("fern", alike.Infant), "unit": "/units/fern", "digits": tail(numberOf(alike)),
		"sheets": sheets, "kinds": kinds})
	rounds := 0
	for _, c := range said.counts {
		t.Logf("%s: %d touches, %d keys", c.what, c.taps, c.keys)
		if c.what == "routine round" {
			rounds++
			if c.taps > 6 || c.keys > 12 {
				t.Errorf("a routine round took %d touches and %d keys, at most 6 and 12", c.taps, c.keys)
			}
		}
	}
	if rounds != 1 || len(said.looked) != 3*(len(kinds)+5) {
		t.Errorf("%d rounds, %d pages: %v", rounds, len(said.looked), said.looked)
	}
}
