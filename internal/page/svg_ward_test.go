package page

import (
	"testing"

	"cotline/handover"
	"cotline/internal/wardtest"
)

// drawn is a ward whose pictures are looked at.
type drawn wardtest.Ward

func demoDrawn(t testing.TB) drawn {
	t.Helper()
	return drawn(wardtest.Demo(t))
}

// pictures are every picture of a ward, by kind and infant, as they stand alone.
func (d drawn) pictures(t testing.TB) map[string][]byte {
	t.Helper()
	return d.picturesIn(t, alone)
}

func (d drawn) picturesIn(t testing.TB, in form) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, f := range d.Handover.Infants {
		s, ok := handover.SeriesOf(d.Ward, d.Handover, f.Infant)
		if !ok {
			t.Fatal("no series of ", f.Infant)
		}
		out["strip "+f.Infant] = shiftStrip(s, in)
		head, ok := handover.HeadSeriesOf(d.Ward, d.Handover, f.Infant)
		if !ok {
			t.Fatal("no head series of ", f.Infant)
		}
		out["head "+f.Infant] = headChartOf(head, in)
		out["face "+f.Infant] = faceMap(d.Handover, f, in)
	}
	return out
}
