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

// pictures are every picture of a ward, by kind and infant.
func (d drawn) pictures(t testing.TB) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, f := range d.Handover.Infants {
		s, ok := handover.SeriesOf(d.Ward, d.Handover, f.Infant)
		if !ok {
			t.Fatal("no series of ", f.Infant)
		}
		out["strip "+f.Infant] = ShiftStrip(s)
		head, ok := handover.HeadSeriesOf(d.Ward, d.Handover, f.Infant)
		if !ok {
			t.Fatal("no head series of ", f.Infant)
		}
		out["head "+f.Infant] = HeadChart(head)
		out["face "+f.Infant] = FaceMap(d.Handover, f)
	}
	return out
}
