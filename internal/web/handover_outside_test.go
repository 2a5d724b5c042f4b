//go:build outside

package web

import (
	"slices"
	"testing"
	"time"
)

// Two nurses hand over two infants in a browser, one of them interrupted; the record says
// the same as the pages. axe-core finds nothing on these pages and the clerk's.
func TestHandoverInABrowser(t *testing.T) {
	b := newServer(t, nil)
	two, before := b.two(t), b.head(t)
	faulty := "id,infant,kind,at,by,weightG\r\n00000000-0000-4000-8000-00000000dddd," + two[0].Infant + ",weight," +
		b.fern.clock.Now().Format(time.RFC3339) + ",rn-agate,999999\r\n"
	said := b.drive(t, "handover.mjs", map[string]any{"out": "nurse", "in": "charge", "unit": "/units/fern",
		"infants": []string{two[0].Infant, two[1].Infant}, "faulty": faulty})
	if len(said.looked) != 3*9 {
		t.Errorf("%d pages: %v", len(said.looked), said.looked)
	}
	taken := b.since(t, before)
	if kinds := kindsOf(taken); !slices.Equal(kinds, []string{"handover", "acceptance", "acceptance"}) {
		t.Fatalf("charted: %v", kinds)
	}
	if taken[0].By != "nurse" || taken[1].By != "charge" || taken[1].Text("asked") == "" || taken[2].By != "charge" {
		t.Errorf("%v", taken)
	}
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		if f.Infant == two[0].Infant && len(f.HandedOver.Accepted.NotConfirmed) > 0 {
			t.Errorf("not confirmed: %v", f.HandedOver.Accepted.NotConfirmed)
		}
	}
}
