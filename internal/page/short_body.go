package page

import (
	"maps"
	"slices"
	"strings"
	"time"

	"cotline/handover"
)

// shortFace is what lies on the face, what it did to the skin, and the bonnet.
func (v view) shortFace(f *handover.Summary) row {
	r := row{Label: "Face"}
	switch x := f.Interface.Value; {
	case x != nil && x.Type == "off":
		r.add("nothing on the face since " + v.when(x.Since))
	case x != nil:
		size := ""
		if x.Size.Value != nil {
			size = " " + said(*x.Size.Value)
		} else if x.Size.Applies {
			size = ", size NOT CHARTED,"
		}
		before := ""
		if rot := f.Rotation.Value; rot != nil && rot.Last != nil && rot.Last.To == x.Type && !x.Since.After(rot.Last.At) {
			before = "before that " + rot.Last.From
		}
		r.add(x.Type+size+" since "+v.when(x.Since), before)
	case f.Interface.Applies:
		r.add("interface NOT CHARTED")
	}
	return beside(beside(r, v.shortSkin(f)), v.shortBonnet(f))
}

// shortSkin tells each site that is not intact, counts those that are, and names
// those that nobody saw and those whose look is old.
func (v view) shortSkin(f *handover.Summary) row {
	r := row{}
	s := f.Skin
	if len(s.Sites) == 0 {
		r.add("skin NOT CHARTED")
		return r
	}
	intact := 0
	first, last := time.Time{}, time.Time{}
	old := map[string][]string{}
	for _, x := range s.Sites {
		isOld := v.isOld(f, "skin.sites."+x.Site)
		if x.Finding == "intact" && len(x.Also) == 0 {
			intact++
			if isOld {
				old[v.when(x.At)+", "+elapsed(v.at.Sub(x.At))+" old"] = append(old[v.when(x.At)+", "+elapsed(v.at.Sub(x.At))+" old"], x.Site)
				continue
			}
			if first.IsZero() || x.At.Before(first) {
				first = x.At
			}
			if x.At.After(last) {
				last = x.At
			}
			continue
		}
		change := ""
		if x.Change == "new" || x.Change == "worse" {
			change = strings.ToUpper(x.Change)
		}
		r.add(plain(x.Site)+" "+plain(x.Finding)+prefixed(" with ", plains(x.Also)), change, v.when(x.At)+v.aged(f, "skin.sites."+x.Site, x.At))
	}
	if intact > 0 {
		seen := ""
		switch {
		case first.IsZero():
		case first.Equal(last):
			seen = v.when(last)
		default:
			seen = v.when(first) + " to " + v.when(last)
		}
		r.add("skin "+string(whole(intact))+" of "+string(whole(len(handover.Sites)))+" intact", seen)
		for _, words := range slices.Sorted(maps.Keys(old)) {
			r.add("of these " + sitesSaid(old[words]) + " " + words)
		}
	}
	never, earlier := notSeen(s)
	r.add(prefixed("never seen: ", sitesSaid(never)))
	r.add(prefixed("not seen since support began: ", sitesSaid(earlier)))
	return r
}

// shortBonnet says of a bonnet what was found of it, or else whether the head lies in
// its range.
func (v view) shortBonnet(f *handover.Summary) row {
	r := row{}
	x := f.Bonnet.Value
	if x == nil {
		if f.Bonnet.Applies {
			r.add("bonnet NOT CHARTED")
		}
		return r
	}
	size := ""
	switch {
	case x.Size.Value != nil:
		size = "bonnet " + said(*x.Size.Value)
	case x.Size.Applies:
		size = "bonnet, size NOT CHARTED"
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

// shortTube tells a tube that slipped by both its marks.
func (v view) shortTube(f *handover.Summary) row {
	r := row{Label: "Tube"}
	switch {
	case f.Tubes.Value == nil && f.Tubes.Applies:
		r.add("NOT CHARTED whether one is in")
		return r
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
		} else if t.SizeFr.Applies {
			size = "size NOT CHARTED"
		}
		mark := "at " + t.MarkCm.String()
		if t.Moved {
			mark = "placed at " + t.ReferenceMarkCm.String() + ", now " + t.MarkCm.String()
		}
		r.add(use+joined(" ", t.Route, size), mark, "looked at "+v.when(t.CheckedAt)+v.aged(f, "tubes."+t.Use, t.CheckedAt))
		of := func(at time.Time) string {
			if at.Equal(t.CheckedAt) {
				return ""
			}
			return " of " + v.when(at)
		}
		if t.PH != nil {
			r.add("pH " + t.PH.Value.String() + of(t.PH.At))
		}
		if t.Aspirate != nil {
			r.add(map[string]string{"got": "aspirate got", "none": "no aspirate"}[t.Aspirate.Value] + of(t.Aspirate.At))
		}
	}
	return r
}

// shortWarmth is the gas's warmth and water, and what was checked at set-up.
func (v view) shortWarmth(f *handover.Summary) row {
	r := row{Label: "Warmth"}
	if x := f.Humidifier.Value; x != nil {
		state := ""
		if x.State.Value != nil && *x.State.Value != "in-tolerance" {
			state = strings.ToUpper(plain(*x.State.Value))
		}
		if x.State.Value != nil && *x.State.Value == "off" {
			r.add("humidifier OFF")
			state = ""
		}
		switch {
		case x.ChamberC != nil:
			at := v.when(x.ChamberC.At)
			if v.isOld(f, "humidifier.chamberC") {
				at += ", " + elapsed(v.at.Sub(x.ChamberC.At)) + " old"
			}
			r.add("chamber "+x.ChamberC.Value.String()+" °C at "+at, state)
		case x.State.Applies && x.State.Value == nil:
			r.add("chamber temperature NOT CHARTED")
		case state != "":
			r.add(state)
		}
		if x.Water == "low" {
			r.add("water LOW")
		}
		if t := x.WaterEmptyAt.Value; t != nil {
			r.add("water until about " + v.when(*t))
		}
	} else if f.Humidifier.Applies {
		r.add("humidifier NOT CHARTED")
	}
	v.shortSetup(&r, f)
	return r
}

func (v view) shortSetup(r *row, f *handover.Summary) {
	x := f.Setup.Value
	if x == nil {
		if f.Setup.Applies {
			r.add("set-up NOT CHARTED")
		}
		return
	}
	if c := x.Calibrated.Value; c != nil && *c {
		at := ""
		if n := len(x.Points); n > 0 {
			at = " " + v.civil(handover.DateOf(x.Points[n-1].At, v.zone))
		}
		r.add("sensor passed" + at)
	} else if c != nil {
		r.add("sensor FAILED")
	}
	if s := x.SealHeld.Value; s != nil && !*s {
		r.add("seal DID NOT HOLD")
	}
	if d := x.CircuitDueOn.Value; d != nil {
		r.add("circuit due " + clock{at: v.at, zone: v.zone}.day(*d))
	}
	if p := x.ProbeCaution.Value; p != nil && *p {
		r.add("PROBE by a source of heat, not shielded")
	}
}

// shortOutlook says how the infant was judged, when, and what to do if.
func (v view) shortOutlook(f *handover.Summary) row {
	r := row{Label: "Outlook"}
	x := f.Outlook.Value
	if x == nil {
		return r
	}
	when := v.when(x.At) + v.aged(f, "outlook", x.At)
	if x.At.Before(f.Since) {
		when = "from the shift before (" + when + ")"
		if v.at.Sub(x.At) >= 48*time.Hour {
			when = "from days before (" + v.when(x.At) + prefixed(", ", v.howOld(f, "outlook", x.At)) + ")"
		}
	}
	r.add(strings.ToUpper(x.Severity), when)
	for _, c := range x.IfThen {
		r.add("if " + quoted(c.If) + ": " + quoted(c.Then))
	}
	r.add(prefixed("call for ", quoted(x.CallFor)))
	return r
}

// shortGaps names what nobody charted.
func (v view) shortGaps(f *handover.Summary) row {
	r := row{Label: "Gaps"}
	told := ""
	for _, path := range f.Gaps {
		if words := pathSaid(path); words != told {
			r.add(words)
			told = words
		}
	}
	if len(r.Items) == 0 {
		r.add("none")
	}
	for i := range r.Items[1:] { // a list, not facts
		r.Items[0].Text += ", " + r.Items[i+1].Text
	}
	r.Items = r.Items[:1]
	return r
}
