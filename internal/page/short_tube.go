package page

import (
	"time"

	"cotline/handover"
)

// shortTube tells a tube that slipped by both its marks.
func (v view) shortTube(f *handover.Summary) row {
	r := row{Label: "Tube"}
	switch {
	case f.Tubes.Value == nil:
		return r
	case len(*f.Tubes.Value) == 0:
		r.add("none in")
	}
	for _, t := range *f.Tubes.Value {
		use := ""
		if t.Use != "feeding" || len(*f.Tubes.Value) > 1 {
			use = t.Use + ": "
		}
		size := ""
		if t.SizeFr.Value != nil {
			size = t.SizeFr.Value.String() + " Fr"
		}
		mark := "at " + t.MarkCm.String()
		if t.Moved {
			mark = "placed at " + t.ReferenceMarkCm.String() + ", now " + t.MarkCm.String()
		}
		r.add(use+joined(" ", t.Route, size), mark, v.oldTube(f, t))
		of := func(at time.Time) string {
			if at.Equal(t.CheckedAt) {
				return ""
			}
			return " at " + v.when(at)
		}
		if t.PH != nil {
			r.add("pH " + t.PH.Value.String() + of(t.PH.At))
		}
		r.add(v.aspirateSaid(t, of))
	}
	return r
}

// oldTube is when a tube was looked at, where that is too long ago.
func (v view) oldTube(f *handover.Summary, t handover.Tube) string {
	if !isOld(f, "tubes."+t.Use) {
		return ""
	}
	return "seen " + v.aged(f, "tubes."+t.Use, t.CheckedAt)
}

// aspirateSaid is what came back of the tube, how much and what it looked like.
func (v view) aspirateSaid(t handover.Tube, of func(time.Time) string) string {
	words, at := "", time.Time{}
	if t.Aspirate != nil {
		words, at = map[string]string{"got": "aspirate got", "none": "no aspirate"}[t.Aspirate.Value], t.Aspirate.At
	}
	if x := t.AspirateMl; x != nil && (at.IsZero() || at.Equal(x.At)) {
		words, at = "aspirate "+x.Value.String()+" mL", x.At
	}
	if words == "" {
		return ""
	}
	if x := t.AspirateLook; x != nil && at.Equal(x.At) {
		words += " " + quoted(x.Value)
	}
	return words + of(at)
}
