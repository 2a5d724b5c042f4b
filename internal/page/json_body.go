package page

import "cotline/handover"

func (s *sheet) skin(f handover.Skin) any {
	var o object
	if f.Checked == nil || f.Worst == nil { // no site seen in the stay
		o = object{{"checkedAt", nil}, {"worst", nil}, {"worstSite", nil}, {"worstAt", nil}}
	} else {
		s.moment(&o, "checkedAt", f.Checked.At)
		o.text("worst", f.Worst.Finding)
		o.text("worstSite", f.Worst.Site)
		s.moment(&o, "worstAt", f.Worst.At)
	}
	o.put("sites", each(f.Sites, s.skinSite))
	maybe(s, &o, "skin.", "unseen", f.Unseen, func(u []string) any { return texts(u) })
	maybe(s, &o, "skin.", "dueAt", f.DueAt, s.stamp)
	maybe(s, &o, "skin.", "overdueAt", f.Overdue, s.stamp)
	if len(f.DueSites) > 0 {
		o.put("dueSites", texts(f.DueSites))
	}
	o.text("state", f.State)
	s.moment(&o, "until", f.Until)
	return o
}

func (s *sheet) skinSite(f handover.SkinSite) any {
	o := object{{"site", f.Site}, {"finding", f.Finding}, {"also", texts(f.Also)}}
	maybe(s, &o, "skin.sites."+f.Site+".", "underBarrier", f.UnderBarrier, plainly)
	o.text("change", f.Change)
	s.moment(&o, "at", f.At)
	o.text("entry", f.Entry)
	o.text("action", f.Action)
	o.text("note", f.Note)
	f.Source.Entry = ""
	s.tail(&o, f.Source)
	return o
}

func (s *sheet) tube(f handover.Tube) any {
	path := "tubes." + f.Use + "."
	o := object{{"use", f.Use}, {"route", f.Route}}
	maybe(s, &o, path, "sizeFr", f.SizeFr, decimal)
	o.number("markCm", f.MarkCm)
	o.number("referenceMarkCm", f.ReferenceMarkCm)
	s.moment(&o, "referenceAt", f.ReferenceAt)
	o.put("moved", f.Moved)
	s.moment(&o, "checkedAt", f.CheckedAt)
	o.text("entry", f.Entry)
	if f.PH != nil {
		o.put("ph", s.numberFact(*f.PH))
	}
	if f.Aspirate != nil {
		o.text("aspirate", f.Aspirate.Value)
		s.moment(&o, "aspirateAt", f.Aspirate.At)
		o.put("aspirateFrom", s.origin(f.Aspirate.Source))
	}
	if f.AspirateMl != nil {
		o.put("aspirateMl", s.numberFact(*f.AspirateMl))
	}
	s.worded(&o, "aspirateLook", f.AspirateLook)
	if f.XRay != nil {
		o.put("xray", s.origin(*f.XRay))
	}
	maybe(s, &o, path, "estimateCm", f.EstimateCm, decimal)
	o.text("estimateBy", f.EstimateBy)
	s.moment(&o, "estimateWeightAt", f.EstimateWeightAt)
	f.Source.Entry = ""
	s.source(&o, f.Source)
	return o
}

func score(o *object, f handover.Score) {
	if f.Z != nil {
		o.number("z", *f.Z)
	}
	if f.Centile != nil {
		o.number("centile", *f.Centile)
	}
	o.text("standard", f.Standard)
	o.text("noZ", f.NoZ)
}

func (s *sheet) weight(f handover.Weight) any {
	o := object{{"weightG", decimal(f.WeightG)}}
	s.moment(&o, "at", f.At)
	score(&o, f.Score)
	s.tail(&o, f.Source)
	return o
}

// birthWeight has no moment of its own: it is at birth.
func (s *sheet) birthWeight(f handover.Weight) any {
	o := object{{"weightG", decimal(f.WeightG)}}
	score(&o, f.Score)
	s.tail(&o, f.Source)
	return o
}

func (s *sheet) head(f handover.Head) any {
	o := object{{"circumferenceCm", decimal(f.CircumferenceCm)}}
	s.moment(&o, "at", f.At)
	o.text("unreliable", f.Unreliable)
	score(&o, f.Score)
	if g := f.Growth; g != nil {
		o.number("growthCmPerWeek", g.CmPerWeek)
		from := object{{"circumferenceCm", decimal(g.From.Value)}}
		s.moment(&from, "at", g.From.At)
		s.traced(&from, g.From.Source)
		o.put("growthFrom", from)
		o.put("withinError", g.WithinError)
	}
	s.traced(&o, f.Source)
	return o
}

func (s *sheet) bonnet(f handover.Bonnet) any {
	var o object
	maybe(s, &o, "bonnet.", "size", f.Size, plainly)
	s.moment(&o, "since", f.Since)
	if f.Since.IsZero() { // none on: since when
		s.moment(&o, "at", f.At)
	}
	o.date("dueOn", f.DueOn)
	o.text("reason", f.Reason)
	o.put("reasons", each(f.Reasons, func(r handover.Reason) any {
		reason := object{{"reason", r.Reason}, {"on", r.On.String()}}
		reason.text("entry", r.Entry)
		return reason
	}))
	o.text("state", f.State)
	s.moment(&o, "until", f.Until)
	o.date("checkFrom", f.CheckFrom)
	o.date("latest", f.Latest)
	maybe(s, &o, "bonnet.", "fits", f.Fits, plainly)
	s.traced(&o, f.Source)
	return o
}

func (s *sheet) care(f handover.Care) any {
	o := object{{"what", f.What}}
	s.moment(&o, "at", f.At)
	o.put("window", whole(f.Window))
	o.text("amount", f.Amount)
	o.text("look", f.Look)
	o.text("side", f.Side)
	o.text("state", f.State)
	o.text("text", f.Text)
	s.tail(&o, f.Source)
	return o
}

func (s *sheet) alarm(f handover.Alarm) any {
	o := object{{"about", f.About}}
	o.put("tried", each(f.Tried, func(t handover.Tried) any {
		return object{{"cause", t.Cause}, {"found", t.Found}}
	}))
	o.text("action", f.Action)
	s.moment(&o, "settledAt", f.SettledAt)
	s.source(&o, f.Source)
	return o
}

func (s *sheet) outlook(f handover.Outlook) any {
	var o object
	o.text("severity", f.Severity)
	if len(f.IfThen) > 0 {
		o.put("ifThen", each(f.IfThen, func(x handover.IfThen) any {
			return object{{"if", x.If}, {"then", x.Then}}
		}))
	}
	o.text("callFor", f.CallFor)
	s.source(&o, f.Source)
	return o
}

func (s *sheet) plan(f handover.Plan) any {
	o := object{{"what", f.What}}
	o.text("care", f.Care)
	o.text("every", f.Every)
	s.moment(&o, "until", f.Until)
	o.text("reason", f.Reason)
	s.source(&o, f.Source)
	return o
}
