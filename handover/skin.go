package handover

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

func (s seen) finding() string { return s.site.Field("finding").Text }

// seenAt is the latest finding of a site up to a moment, nil when not seen.
func (r *reading) seenAt(site string, t time.Time) *seen {
	if r.seen == nil {
		r.seen = seenBySite(r.own["skin"])
	}
	of := *r.seen.of(site)
	for i, s := range slices.Backward(of) {
		if !s.check.At.After(t) {
			return &of[i]
		}
	}
	return nil
}

// seenBySite are the sites of skin checks, each in the order of the checks.
func seenBySite(checks []*entry.Standing) few[seen] {
	out := few[seen]{}
	for _, e := range checks {
		sites := e.List("sites")
		for i := range sites {
			of := out.of(sites[i].Field("site").Text)
			if n := len(*of); n == 0 || (*of)[n-1].check != e {
				*of = append(*of, seen{&sites[i], e})
			}
		}
	}
	return out
}

// deepFindings are those between which no order is told.
var deepFindings = []string{"stage-3", "stage-4", "unstageable", "deep", "mucosal"}

// skinChange compares two findings of a site; the first may be nil.
func skinChange(was *seen, now string) string {
	if was == nil {
		if now == "intact" {
			return ""
		}
		return "new"
	}
	before := was.finding()
	switch a, b := slices.Index(entry.Findings, before), slices.Index(entry.Findings, now); {
	case a == b:
		return "same"
	case slices.Contains(deepFindings, before) && slices.Contains(deepFindings, now):
		return "other"
	case b > a:
		return "worse"
	}
	return "better"
}

// skinFact is the latest finding of each site and what is due.
func (r *reading) skinFact() Skin {
	var f Skin
	unseen := []string{}
	for _, site := range entry.Sites {
		s := r.seenAt(site, r.at)
		if r.spell != nil && (s == nil || s.check.At.Before(r.spell.start.Add(-beforeSpell))) {
			unseen = append(unseen, site)
		}
		if s == nil {
			continue
		}
		x := SkinSite{Site: site, Finding: s.finding(), Action: s.site.Field("action").Text, Note: s.site.Field("note").Text,
			Change: skinChange(r.seenAt(site, r.since), s.finding()), Source: r.source(s.check)}
		for _, v := range s.site.Field("also").List {
			x.Also = append(x.Also, v.Text)
		}
		if v := s.site.Field("underBarrier"); v.Type == entry.BoolValue {
			x.UnderBarrier = known(v.Bool)
		}
		f.Sites = append(f.Sites, x)
	}
	if r.spell != nil {
		f.Unseen = known(unseen)
	}
	for i := range f.Sites {
		x := &f.Sites[i]
		if f.Worst == nil {
			f.Worst = x
			continue
		}
		a, b := slices.Index(entry.Findings, f.Worst.Finding), slices.Index(entry.Findings, x.Finding)
		if b > a || b == a && x.At.After(f.Worst.At) {
			f.Worst = x
		}
	}
	if checks := r.own["skin"]; len(checks) > 0 {
		s := r.source(checks[len(checks)-1])
		f.Checked = &s
	}
	r.skinSummary(&f, r.skinDue())
	return f
}

// skinDue finds the sites that fall due: any that is not intact; those under
// what lies on the face; those under bonnet and straps.
func (r *reading) skinDue() []siteDue {
	if r.sitesDue == nil {
		r.sitesDue = r.readSkinDue()
	}
	return r.sitesDue
}

func (r *reading) readSkinDue() []siteDue {
	sites := []siteDue{}
	typ, since := r.lyingSince()
	pressed, pressing := r.pressedSince(typ)
	near, nearOver := r.spaced("skin", r.p.SkinDue, r.p.SkinOverdue)
	for _, site := range entry.Sites {
		s := r.seenAt(site, r.at)
		var checked time.Time
		var check *entry.Standing
		if s != nil {
			check, checked = s.check, s.check.At.Time
		}
		due, over := near, nearOver
		from := checked
		switch {
		case s != nil && s.finding() != "intact":
		case r.spell == nil:
			continue
		case typ != "" && r.p.LiesUnder(site, typ):
			from = latestOf(checked, since[site])
		case r.p.LiesUnder(site, "any") && pressing:
			due, over = r.p.HeadSkinDue, r.p.HeadSkinOverdue
			from = latestOf(checked, pressed)
		default:
			continue
		}
		if due.None() {
			continue
		}
		x := siteDue{site: site, checked: checked, due: from.Add(due.Duration)}
		if !over.None() {
			o := from.Add(over.Duration)
			x.overdue = &o
		}
		var state string
		state, x.until = r.state("skin", "", x.due, x.overdue, check)
		x.deferred = state == "deferred"
		sites = append(sites, x)
	}
	return sites
}

func (r *reading) skinSummary(f *Skin, sites []siteDue) {
	if len(sites) == 0 {
		return
	}
	earliest, overdue := sites[0].due, (*time.Time)(nil)
	anyDue, allDeferred := false, true
	f.State = "not-due"
	for _, x := range sites {
		if x.due.Before(earliest) {
			earliest = x.due
		}
		if x.overdue != nil && (overdue == nil || x.overdue.Before(*overdue)) {
			overdue = x.overdue
		}
		isDue := !r.at.Before(x.due)
		if isDue {
			anyDue = true
			f.DueSites = append(f.DueSites, x.site)
		}
		switch {
		case isDue && x.deferred:
			f.Until = x.until
		case isDue && x.overdue != nil && !r.at.Before(*x.overdue):
			f.State, allDeferred = "overdue", false
		case isDue && f.State != "overdue":
			f.State, allDeferred = "due", false
		}
	}
	if anyDue && allDeferred {
		f.State = "deferred"
	} else {
		f.Until = time.Time{}
	}
	if !anyDue {
		for _, x := range sites {
			if x.due.Equal(earliest) {
				f.DueSites = append(f.DueSites, x.site)
			}
		}
	}
	f.DueAt = known(earliest)
	if overdue != nil {
		f.Overdue = known(*overdue)
	}
}

// lyingSince is the latest type on in the current spell, looking through off,
// and for each site the moment since when types that lie on it have been on
// without another.
func (r *reading) lyingSince() (typ string, since map[string]time.Time) {
	since = map[string]time.Time{}
	if r.spell == nil {
		return "", since
	}
	for _, o := range r.onsOfSpell() {
		typ = o.typ
		for _, site := range entry.Sites {
			switch _, lying := since[site]; {
			case !r.p.LiesUnder(site, typ):
				delete(since, site)
			case !lying:
				since[site] = o.from
			}
		}
	}
	return typ, since
}

// pressedSince is when bonnet or straps first pressed on the head in the current
// spell, and whether they do now: under mask or prongs, and under a bonnet with
// anything on the face, any off looked through. Where no interface was charted,
// something is taken to be on since the spell's start.
func (r *reading) pressedSince(typ string) (time.Time, bool) {
	if r.spell == nil {
		return time.Time{}, false
	}
	if len(r.wears()) == 0 {
		return r.spell.start, true
	}
	if typ == "" || typ == "cannula" && !r.readBonnet().in {
		return time.Time{}, false
	}
	ons := r.onsOfSpell()
	for i, o := range ons {
		if o.typ != "cannula" {
			return o.from, true
		}
		until := r.at
		if i+1 < len(ons) {
			until = ons[i+1].from
		}
		for _, b := range r.bonneted() {
			if from := latestOf(b.from, o.from); !from.After(until) && (b.to.After(from) || b.to.Equal(r.at)) {
				return from, true
			}
		}
	}
	return time.Time{}, false
}

// firstOn is when anything was first on in the current spell.
func (r *reading) firstOn() (time.Time, bool) {
	if r.spell == nil {
		return time.Time{}, false
	}
	if ons := r.onsOfSpell(); len(ons) > 0 {
		return ons[0].from, true
	}
	return time.Time{}, false
}

// onsOfSpell are the types put on in the current spell, in order, off left out;
// what was on when it started counts from its start.
func (r *reading) onsOfSpell() []worn {
	if r.ons == nil {
		r.ons = r.readOns()
	}
	return r.ons
}

func (r *reading) readOns() []worn {
	out := []worn{}
	start := r.spell.start
	for _, w := range r.wears() {
		if w.typ == "off" || !w.to.IsZero() && !w.to.After(start) {
			continue
		}
		w.from = latestOf(w.from, start)
		out = append(out, w)
	}
	return out
}
