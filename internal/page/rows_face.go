package page

import (
	"cotline/handover"
)

// face is the interface and the rotation between mask and prongs.
func (v view) face(f *handover.Summary) row {
	r := row{Label: "Interface"}
	switch x := f.Interface.Value; {
	case x != nil && x.Type == "off":
		r.apart("OFF the face since " + v.told(x.Since) + v.changedHands(x.Source))
	case x != nil:
		size := ""
		switch {
		case x.Size.Value != nil:
			size = " size " + said(*x.Size.Value)
		case x.Size.Applies:
			size = " size NOT CHARTED"
		}
		r.put(x.Size.Applies && x.Size.Value == nil, x.Type+size+" since "+v.told(x.Since)+v.changedHands(x.Source))
		if x.Fit != nil {
			r.add("fit: "+x.Fit.Value, v.seen(x.Fit.Source))
		}
		if x.Clear != nil {
			r.add(map[string]string{"true": "septum clear of it", "false": "septum NOT CLEAR of it"}[x.Clear.Value],
				v.seen(x.Clear.Source))
		}
	case f.Interface.Applies:
		r.apart("NOT CHARTED")
	}
	x := f.Rotation.Value
	if x == nil {
		return r
	}
	if x.Last == nil {
		r.add("not rotated yet in this spell")
	} else {
		before := ""
		if since := x.Last.FromSince; !since.IsZero() { // as a handover signed before this was told
			before = x.Last.From + " from " + v.when(since) + " to " + v.when(x.Last.FromUntil)
		}
		r.add("last rotation "+x.Last.From+" to "+x.Last.To+" "+v.seen(x.Last.Source), before)
	}
	if x.State == "" {
		r.add("no interval of rotation")
		return r
	}
	if x.State == "off" { // not in the due list
		due := "not charted what was on"
		if x.DueAt.Value != nil {
			due = v.told(*x.DueAt.Value)
		}
		r.add("rotation due, by the last run: " + due)
	}
	return r
}

// hours groups the sites that something lay on equally long.
func (v view) hours(f *handover.Summary) row {
	r := row{Label: "Interface"}
	if f.HoursUnder.Value == nil {
		if f.HoursUnder.Applies {
			r.apart("hours under the interface NOT CHARTED")
		}
		return r
	}
	sites := *f.HoursUnder.Value
	told := map[string]bool{}
	for i, s := range sites {
		hours := s.Hours.String()
		if told[hours] {
			continue
		}
		told[hours] = true
		names := []string{s.Site}
		for _, o := range sites[i+1:] {
			if o.Hours.String() == hours {
				names = append(names, o.Site)
			}
		}
		r.add(hours + " " + sitesSaid(names))
	}
	return r.lead("hours under the interface in 24 h: ")
}
