package page

import "cotline/handover"

// Picture is a drawing of one infant, by the name that its file has.
type Picture struct {
	Name string
	SVG  []byte
}

// Pictures are an infant's drawings: the window on the clock axis, head growth on
// the standard's curves, and the face with findings and hours. Without the ward
// that the handover was compiled from there is nothing to draw.
func Pictures(h *handover.Handover, ward handover.Ward, f *handover.Summary) []Picture {
	return picturesIn(alone, h, ward, f)
}

func picturesIn(in form, h *handover.Handover, ward handover.Ward, f *handover.Summary) []Picture {
	if len(ward.Entries) == 0 {
		return nil
	}
	var out []Picture
	if s, ok := handover.SeriesOf(ward, h, f.Infant); ok {
		out = append(out, Picture{"shift", shiftStrip(s, in)})
	}
	if s, ok := handover.HeadSeriesOf(ward, h, f.Infant); ok {
		out = append(out, Picture{"head", headChartOf(s, in)})
	}
	return append(out, Picture{"face", faceMap(h, f, in)})
}
