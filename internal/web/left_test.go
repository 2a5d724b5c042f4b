package web

import (
	"bytes"
	"fmt"
	"testing"
	"time"

	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

// What pages are made from does not grow with all who ever left: after three days nothing
// of them is kept, neither once it is read anew nor once time alone has passed.
func TestWhoLeftIsForgotten(t *testing.T) {
	t.Parallel()
	start := wardtest.Moment(t, "2026-06-01T08:00:00+02:00")
	const born = `"born":"2026-05-30T10:00:00+02:00","cot":"Fern 1","temporary":"`
	kept := map[int]int{}
	for _, left := range []int{1, 40} {
		r := newRecord(t, wardtest.Policy(t, ward.Policy()), start)
		var lines bytes.Buffer
		line := func(n int, infant, kind string, at time.Time, own string) {
			const form = `{"id":"00000000-0000-4000-8000-%012d","infant":%q,"kind":%q,"at":%q,"by":"rn-agate",%s}` + "\n"
			fmt.Fprintf(&lines, form, n, infant, kind, at.Format(time.RFC3339), own)
		}
		for i := range left {
			infant := fmt.Sprint("gone-", i)
			line(10*i+1, infant, "admission", start.Add(-time.Hour), born+infant+`"`)
			line(10*i+2, infant, "weight", start.Add(-time.Hour), `"weightG":1500`)
			line(10*i+3, infant, "discharge", start.Add(-time.Minute), `"to":"home"`)
		}
		line(9001, "stays", "admission", start, born+`stays"`)
		r.chart(t, offered(t, lines.Bytes())...)
		l := r.live()
		if h := look(t, l).Ward(); len(h.Left) != left || len(h.Infants) != 1 {
			t.Fatalf("%d left, %d here", len(h.Left), len(h.Infants))
		}
		for range 5 { // read anew each day
			r.clock.set(r.clock.Now().Add(24 * time.Hour))
			look(t, l)
			l.Close()
		}
		s := look(t, l)
		if len(s.Ward().Left) != 0 || len(l.kept.infants) != 1 {
			t.Errorf("%d are told of as having left, entries of %d infants are kept", len(s.Ward().Left), len(l.kept.infants))
		}
		kept[left] = len(l.kept.places) + len(l.kept.shared) + len(l.kept.unit)
	}
	if kept[1] != kept[40] {
		t.Errorf("kept is %v, by how many left", kept)
	}
}
