package page

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
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

// shortSkin counts the sites that are intact, tells those others that do not stand
// above, and names those whose look is old and those that nobody saw.
func (v view) shortSkin(f *handover.Summary) row {
	r := row{}
	s := f.Skin
	if len(s.Sites) == 0 {
		return r
	}
	var first, last time.Time
	intact := 0
	var found []string
	for _, x := range s.Sites {
		path := "skin.sites." + x.Site
		switch {
		case x.Finding == "intact" && isOld(f, path):
			intact++
		case x.Finding == "intact":
			intact++
			if first.IsZero() || x.At.Before(first) {
				first = x.At
			}
			if x.At.After(last) {
				last = x.At
			}
		case !above(f, "skin", path):
			found = append(found, joined(" ", plain(x.Site), plain(x.Finding),
				map[string]string{"new": "NEW", "worse": "WORSE"}[x.Change]))
		}
	}
	r.add(strings.Join(found, ", "))
	if intact > 0 {
		seen := v.moment(last)
		if !first.Equal(last) {
			seen = v.when(first) + " to " + seen
		}
		r.add("skin "+strconv.Itoa(intact)+" of "+strconv.Itoa(len(entry.Sites))+" intact", seen)
	}
	r.add(prefixed("old: ", v.oldLooks(f)))
	never, earlier := notSeen(s)
	r.add(prefixed("never seen: ", sitesSaid(never)))
	r.add(prefixed("not seen on this support: ", sitesSaid(earlier)))
	return r
}

// oldLooks are the sites whose look is old, and how old it is.
func (v view) oldLooks(f *handover.Summary) string {
	var sites []string
	var first, last time.Time
	for _, x := range f.Skin.Sites {
		if !isOld(f, "skin.sites."+x.Site) {
			continue
		}
		sites = append(sites, x.Site)
		if first.IsZero() || x.At.Before(first) {
			first = x.At
		}
		if x.At.After(last) {
			last = x.At
		}
	}
	if len(sites) == 0 {
		return ""
	}
	names, age := sitesSaid(sites), v.ago(first)
	if len(sites) == len(entry.Sites) {
		names = "all sites"
	}
	if youngest := v.ago(last); youngest != age {
		age = youngest + " to " + age
	}
	return names + ", " + age + " old"
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
		v.shortChamber(&r, f, x, state)
	}
	v.shortSetup(&r, f)
	if x := f.Safety; x != nil {
		r.add("safety check "+v.when(x.At), safetySaid(x))
	}
	return r
}

// safetySaid is what was not in order at the cot, or that all was.
func safetySaid(x *handover.SafetyCheck) string {
	var not []string
	for _, i := range x.Items {
		if !i.OK {
			not = append(not, said(plain(i.Item)))
		}
	}
	if len(not) == 0 {
		return "all ok"
	}
	return "NOT OK: " + strings.Join(not, ", ")
}

// shortChamber tells temperature and water together where they were looked at
// together. When the water runs out stands among what is due.
func (v view) shortChamber(r *row, f *handover.Summary, x *handover.Humidifier, state string) {
	water := ""
	if x.Water == "low" || isOld(f, "humidifier.water") {
		water = "water " + waterSaid(x.Water)
	}
	at := ""
	switch {
	case x.ChamberC != nil:
		at = v.aged(f, "humidifier.chamberC", x.ChamberC.At)
		chamber := "chamber " + x.ChamberC.Value.String() + " °C"
		if water != "" && x.WaterSeen.At.Equal(x.ChamberC.At) && isOld(f, "humidifier.water") == isOld(f, "humidifier.chamberC") {
			chamber, water = chamber+" and "+water, ""
		}
		r.add(chamber+" at "+at, state)
	default:
		r.add(state)
	}
	if water != "" {
		r.add(water + " at " + v.aged(f, "humidifier.water", x.WaterSeen.At))
	}
}

// falls says whether a thing stands among what is due or comes next.
func falls(f *handover.Summary, what string) bool {
	return slices.ContainsFunc(f.Due, func(d handover.Due) bool { return d.What == what }) ||
		slices.ContainsFunc(f.Next, func(n handover.Next) bool { return n.What == what })
}

func (v view) shortSetup(r *row, f *handover.Summary) {
	x := f.Setup.Value
	if x == nil {
		return
	}
	if c := x.Calibrated.Value; c != nil && *c {
		at := ""
		if n := len(x.Points); n > 0 {
			at = " " + v.civil(entry.DateOf(x.Points[n-1].At, v.zone))
		}
		r.add("sensor passed" + at)
	}
	if d := x.CircuitDueOn.Value; d != nil && !falls(f, "circuit") {
		r.add("circuit due " + v.plainDay(*d))
	}
	if p := x.ProbeCaution.Value; p != nil && *p {
		r.add("PROBE NOT SHIELDED from heat")
	}
}

// shortOutlook says how the infant was judged, when, and what to do if.
func (v view) shortOutlook(f *handover.Summary) row {
	r := row{Label: "Outlook"}
	x := f.Outlook.Value
	if x == nil {
		return r
	}
	when := v.aged(f, "outlook", x.At)
	if x.At.Before(f.Since) {
		when = "from the shift before (" + when + ")"
		if v.at.Sub(x.At) >= 48*time.Hour {
			when = "from days before (" + v.aged(f, "outlook", x.At) + ")"
		}
	}
	r.add(strings.ToUpper(x.Severity), when)
	for _, c := range x.IfThen {
		r.add("if " + quoted(c.If) + ": " + quoted(c.Then))
	}
	r.add(prefixed("call for ", quoted(x.CallFor)))
	return r
}

// shortGaps names what nobody charted and does not stand above, and what is asked
// about.
func (v view) shortGaps(f *handover.Summary) row {
	r := row{Label: "Gaps"}
	var gaps []string
	for _, path := range f.Gaps {
		if words := pathSaid(path); !above(f, "missing", path) && !slices.Contains(gaps, words) {
			gaps = append(gaps, words)
		}
	}
	switch {
	case len(gaps) > 0:
		r.add(strings.Join(gaps, ", "))
	case len(f.Gaps) == 0:
		r.add("none")
	default:
		r.add("as above")
	}
	var doubts []string
	for _, d := range f.Doubts {
		if words := pathSaid(d.Path); !slices.Contains(doubts, words) {
			doubts = append(doubts, words)
		}
	}
	r.add(prefixed("IN DOUBT: ", strings.Join(doubts, ", ")))
	return r
}

// shortHanded is the latest handover of the stay.
func (v view) shortHanded(f *handover.Summary) row {
	r := row{Label: "Handed"}
	h := f.HandedOver
	if h == nil {
		return r
	}
	accepted := "NOT ACCEPTED"
	if h.Accepted != nil {
		accepted = "accepted"
	}
	r.add(v.person(h.By)+" to "+v.person(h.To)+" "+v.when(h.At), accepted)
	if a := h.Accepted; a != nil && len(a.NotConfirmed) > 0 {
		not := "not confirmed: " + Confirmed(a.NotConfirmed)
		if len(a.Confirmed) == 0 {
			not = "nothing confirmed"
		}
		r.add(not)
	}
	return r
}

// Confirmed are things that are confirmed at a handover, in words.
func Confirmed(words []string) string {
	out := make([]string, len(words))
	for i, w := range words {
		if out[i] = w; w == "fio2" {
			out[i] = "FiO2"
		}
	}
	return strings.Join(out, ", ")
}
