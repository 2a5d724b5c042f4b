package handover

import (
	"strconv"
	"time"

	"cotline/handover/entry"
)

// interfaceFact is what is on the face.
func (r *reading) interfaceFact() Maybe[Interface] {
	if r.spell == nil {
		return Maybe[Interface]{}
	}
	wears := r.wears()
	if len(wears) == 0 {
		return notCharted[Interface]()
	}
	w := wears[len(wears)-1]
	f := Interface{Type: w.typ, Since: w.from, Source: r.source(w.entry)}
	if w.typ != "off" {
		f.Size = knownIf(w.size, w.sized)
		for _, e := range r.own["interface"] {
			if entry.InOrder(e, w.entry) < 0 || e.Text("type") != w.typ {
				continue
			}
			if e.Has("fit") {
				f.Fit = &WordFact{e.Text("fit"), r.source(e)}
			}
			if e.Has("clear") {
				f.Clear = &WordFact{strconv.FormatBool(e.Flag("clear")), r.source(e)}
			}
		}
	}
	return known(f)
}

// spaced are the due and overdue intervals of a thing. A plan's interval stands
// in place of the policy's; overdue then keeps the policy's distance, 2 h where
// the policy says none.
func (r *reading) spaced(what string, due, over entry.Every) (entry.Every, entry.Every) {
	every, planned := r.interval(what, "", due)
	if !planned {
		return due, over
	}
	if every.None() {
		return every, every
	}
	distance := 2 * time.Hour
	if !due.None() && !over.None() {
		distance = over.Duration - due.Duration
	}
	return every, entry.Every{Duration: every.Duration + distance}
}

// hoursFact are, for each site, the hours of the last 24 in which something that
// lies on it was on, within spells. Time before the first known interface counts
// nothing; where that is all of it, nothing is known.
func (r *reading) hoursFact() Maybe[[]SiteHours] {
	wears, bonnets := r.wears(), r.bonneted()
	from := r.at.Add(-24 * time.Hour)
	supported := r.spellTime(from, r.at)
	if len(wears) == 0 || supported > 0 && r.spellTime(latestOf(from, wears[0].from), r.at) == 0 {
		if r.spell == nil && supported == 0 {
			return Maybe[[]SiteHours]{}
		}
		return notCharted[[]SiteHours]()
	}
	var out []SiteHours
	worn := false
	for _, site := range entry.Sites {
		var total time.Duration
		for _, w := range wears {
			if !w.to.IsZero() && !w.to.After(from) {
				continue
			}
			for _, part := range r.presses(site, w, bonnets) {
				total += r.spellTime(latestOf(part.from, from), part.to)
			}
		}
		worn = worn || total > 0
		out = append(out, SiteHours{site, hoursOf(total)})
	}
	if r.spell == nil && !worn {
		return Maybe[[]SiteHours]{}
	}
	return known(out)
}

// presses are the parts of what is worn in which something lies on a site: the
// whole of it where the type does, or where mask or prongs are held by bonnet and
// straps; under another type the time with a bonnet on.
func (r *reading) presses(site string, w worn, bonnets []stretch) []stretch {
	whole := stretch{w.from, w.to}
	if w.to.IsZero() {
		whole.to = r.at
	}
	switch {
	case w.typ == "off":
		return nil
	case r.p.LiesUnder(site, w.typ):
		return []stretch{whole}
	case !r.p.LiesUnder(site, "any"):
		return nil
	case w.typ != "cannula":
		return []stretch{whole}
	}
	var out []stretch
	for _, b := range bonnets {
		part := stretch{latestOf(b.from, whole.from), b.to}
		if whole.to.Before(part.to) {
			part.to = whole.to
		}
		if !part.to.Before(part.from) {
			out = append(out, part)
		}
	}
	return out
}

// bonneted are the stretches of the stay with a bonnet on, up to the moment.
func (r *reading) bonneted() []stretch {
	var out []stretch
	on := false
	for _, e := range r.own["bonnet"] {
		switch e.Text("action") {
		case "fitted", "found":
			if !on {
				out = append(out, stretch{e.At.Time, r.at})
			}
			on = true
		case "removed", "none":
			if on {
				out[len(out)-1].to = e.At.Time
			}
			on = false
		}
	}
	return out
}
