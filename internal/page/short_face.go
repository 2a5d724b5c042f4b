package page

import (
	"slices"
	"strings"

	"cotline/handover"
)

// shortFace is what lies on the face, what it did to the skin, and the bonnet.
func (v view) shortFace(f *handover.Summary) row {
	return beside(beside(v.shortWorn(f), v.shortSkin(f)), v.shortBonnet(f))
}

// shortWorn is what lies on the face.
func (v view) shortWorn(f *handover.Summary) row {
	r := row{Label: "Face"}
	switch x := f.Interface.Value; {
	case x != nil && x.Type == "off":
		r.add("nothing on the face since " + v.when(x.Since))
	case x != nil:
		size := ""
		if x.Size.Value != nil {
			size = " " + said(*x.Size.Value)
		}
		fit := ""
		if x.Fit != nil {
			fit = map[string]string{"leak": "LEAK", "tight": "TIGHT", "loose": "LOOSE"}[x.Fit.Value]
		}
		clear := ""
		if x.Clear != nil && x.Clear.Value != "true" {
			clear = "septum NOT CLEAR of it"
		}
		r.add(v.shortRuns(f, x, size), fit, clear)
	}
	return r
}

// shortRuns is what is on, and after a rotation what was on before that, as a nurse
// tells it: prongs from 20:33 to 01:01, then mask. Of a run of before the window it is
// told since when the present one is on.
func (v view) shortRuns(f *handover.Summary, x *handover.Interface, size string) string {
	on := x.Type + size + " since " + v.when(x.Since)
	rot := f.Rotation.Value
	if rot == nil || rot.Last == nil || rot.Last.To != x.Type || x.Since.After(rot.Last.At) || rot.Last.At.Before(f.Since) ||
		rot.Last.FromSince.IsZero() {
		return on
	}
	before := rot.Last
	words := before.From + " from " + v.when(before.FromSince) + " to " + v.when(before.FromUntil) + ", "
	if before.FromUntil.Equal(before.At) {
		return words + "then " + x.Type + size
	}
	return words + "then " + on // with nothing on in between
}

// shortBonnet says of a bonnet what was found of it, or else whether the head lies in
// its range.
func (v view) shortBonnet(f *handover.Summary) row {
	r := row{}
	x := f.Bonnet.Value
	if x == nil || x.Size.Applies && x.Size.Value == nil {
		return r
	}
	size := ""
	switch {
	case x.Size.Value != nil:
		size = "bonnet " + said(*x.Size.Value)
	default:
		size = "no bonnet on"
	}
	found := ""
	for _, reason := range x.Reasons {
		if reason.Reason == "tight" || reason.Reason == "slack" || reason.Reason == "soiled" {
			found = joined(" and ", found, strings.ToUpper(reason.Reason))
		}
	}
	r.add(size, found, bonnetRange(x))
	return r
}

// bonnetRange says where the latest head lies. Beside a bonnet found tight or slack
// it is told only where the two agree.
func bonnetRange(x *handover.Bonnet) string {
	found := slices.ContainsFunc(x.Reasons, func(r handover.Reason) bool { return r.Reason == "tight" || r.Reason == "slack" })
	switch {
	case x.Fits.Value == nil:
		return ""
	case !*x.Fits.Value:
		return "head OUT OF ITS RANGE"
	case found:
		return ""
	}
	return "in its range"
}
