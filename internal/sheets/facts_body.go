package sheets

import (
	"strings"

	"cotline/handover"
)

// face is what lies on the face and what it does to the skin.
func (f *facts) face(s *handover.Summary) {
	whole(f, "interface", s.Interface, func(f *facts, path string, v handover.Interface) {
		f.text(path+"type", v.Type, v.Source)
		f.word(path+"size", v.Size, v.Source)
		f.at(path+"since", v.Since, v.Source)
	})
	whole(f, "rotation", s.Rotation, func(f *facts, path string, v handover.Rotation) {
		if v.Last != nil {
			f.text(path+"last", v.Last.From+" to "+v.Last.To, v.Last.Source)
		} else {
			f.add(path+"last", word(none), "not yet in this spell", noSource)
		}
		f.time(path+"dueAt", v.DueAt, noSource)
		f.time(path+"overdueAt", v.OverdueAt, noSource)
		f.text(path+"state", v.State, noSource)
		f.at(path+"until", v.Until, noSource)
	})
	whole(f, "hoursUnder", s.HoursUnder, func(f *facts, path string, v []handover.SiteHours) {
		for _, x := range v {
			f.add(path+x.Site, number(x.Hours), "h of the last 24", noSource)
		}
	})
	f.skin(s.Skin)
}

func (f *facts) skin(s handover.Skin) {
	if s.Checked == nil {
		f.add("skin.checkedAt", word(notCharted), "", noSource)
	} else {
		f.at("skin.checkedAt", s.Checked.At, *s.Checked)
	}
	if s.Worst != nil {
		f.text("skin.worst", s.Worst.Finding, s.Worst.Source)
		f.text("skin.worstSite", s.Worst.Site, s.Worst.Source)
	}
	for _, x := range s.Sites {
		path := "skin.sites." + x.Site + "."
		f.text(path+"finding", x.Finding, x.Source)
		f.text(path+"also", strings.Join(x.Also, ", "), x.Source)
		if x.UnderBarrier.Applies && x.UnderBarrier.Value != nil {
			f.flag(path+"underBarrier", x.UnderBarrier, x.Source)
		}
		f.text(path+"action", x.Action, x.Source)
		f.text(path+"note", x.Note, x.Source)
		f.text(path+"change", x.Change, x.Source)
	}
	if s.Unseen.Applies {
		f.add("skin.unseen", maybe(s.Unseen, joined), "", noSource)
	}
	if s.DueAt.Applies {
		f.time("skin.dueAt", s.DueAt, noSource)
		f.time("skin.overdueAt", s.Overdue, noSource)
		f.add("skin.dueSites", joined(s.DueSites), "", noSource)
	}
	f.text("skin.state", s.State, noSource)
	f.at("skin.until", s.Until, noSource)
}

// body is what is measured: weight, tubes, head.
func (f *facts) body(s *handover.Summary) {
	weight := func(f *facts, path string, v handover.Weight) {
		f.add(path+"weightG", number(v.WeightG), "g", v.Source)
		f.score(path, v.Score, v.Source)
	}
	whole(f, "weight", s.Weight, weight)
	whole(f, "birthWeight", s.BirthWeight, weight)
	whole(f, "tubes", s.Tubes, func(f *facts, path string, v []handover.Tube) {
		if len(v) == 0 {
			f.add("tubes", word("none in"), "", noSource)
		}
		for _, t := range v {
			f.tube(path+t.Use+".", t)
		}
	})
	whole(f, "head", s.Head, func(f *facts, path string, v handover.Head) {
		f.add(path+"circumferenceCm", number(v.CircumferenceCm), "cm", v.Source)
		f.text(path+"unreliable", v.Unreliable, v.Source)
		f.score(path, v.Score, v.Source)
		if g := v.Growth; g != nil {
			f.add(path+"growthCmPerWeek", number(g.CmPerWeek), "cm a week", noSource)
			f.add(path+"growthFrom", number(g.From.Value), "cm", g.From.Source)
			f.add(path+"withinError", yesNo(g.WithinError), "", noSource)
		}
	})
	whole(f, "bonnet", s.Bonnet, func(f *facts, path string, v handover.Bonnet) {
		f.word(path+"size", v.Size, v.Source)
		f.at(path+"since", v.Since, v.Source)
		f.day(path+"dueOn", v.DueOn, noSource)
		f.text(path+"reason", v.Reason, noSource)
		for _, r := range v.Reasons {
			f.day(path+"reasons."+r.Reason, r.On, handover.Source{Entry: r.Entry})
		}
		f.text(path+"state", v.State, noSource)
		f.at(path+"until", v.Until, noSource)
		f.day(path+"checkFrom", v.CheckFrom, noSource)
		f.day(path+"latest", v.Latest, noSource)
		f.flag(path+"fits", v.Fits, noSource)
	})
}

func (f *facts) score(path string, s handover.Score, src handover.Source) {
	if s.Z != nil {
		f.add(path+"z", number(*s.Z), s.Standard, src)
	}
	if s.Centile != nil {
		f.add(path+"centile", number(*s.Centile), s.Standard, src)
	}
	f.text(path+"noZ", s.NoZ, src)
}

func (f *facts) tube(path string, t handover.Tube) {
	f.text(path+"route", t.Route, t.Source)
	f.number(path+"sizeFr", t.SizeFr, "Fr", t.Source)
	f.add(path+"markCm", number(t.MarkCm), "cm", t.Source)
	f.add(path+"referenceMarkCm", number(t.ReferenceMarkCm), "cm", handover.Source{At: t.ReferenceAt})
	f.add(path+"moved", yesNo(t.Moved), "", noSource)
	f.at(path+"checkedAt", t.CheckedAt, noSource)
	if t.PH != nil {
		f.add(path+"ph", number(t.PH.Value), "pH", t.PH.Source)
	}
	if t.Aspirate != nil {
		f.text(path+"aspirate", t.Aspirate.Value, t.Aspirate.Source)
	}
	switch {
	case t.EstimateBy != "":
		f.number(path+"estimateCm", t.EstimateCm, "cm, "+t.EstimateBy+": a prompt, never an order", handover.Source{At: t.EstimateWeightAt})
	case t.EstimateCm.Why != "":
		f.number(path+"estimateCm", t.EstimateCm, "cm", noSource)
	}
}
