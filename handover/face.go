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

// run is the stretch of mask or prongs that the rotation is counted from.
type run struct {
	typ   string
	from  time.Time
	began *entry.Standing // the entry that began it
	last  *entry.Standing // the entry that changed one for the other, nil for none
	was   string          // the type before that
	since time.Time       // its run
	until time.Time
	to    string
	nowOn bool // mask or prongs is on at the moment of the reading
}

// readRun folds the interface entries of the current spell. Off, and cannula
// with it, is looked through unless it lasted a rest.
func (r *reading) readRun() run {
	var c run
	var offSince time.Time
	on := func(typ string, at time.Time, e *entry.Standing) {
		switch {
		case c.typ == "":
			c.typ, c.from, c.began = typ, at, e
		case c.typ != typ:
			c.last, c.was, c.to = e, c.typ, typ
			c.since, c.until = c.from, at
			if !c.nowOn {
				c.until = offSince
			}
			c.typ, c.from, c.began = typ, at, e
		case !c.nowOn && at.Sub(offSince) >= r.p.Rest:
			c.from, c.began = at, e
		}
		c.nowOn = true
	}
	entries := r.own["interface"]
	for i, e := range entries {
		at := latestOf(e.At.Time, r.spell.start)
		if i+1 < len(entries) && !entries[i+1].At.After(r.spell.start) {
			continue // what is on at the spell's start is what was put on last by then
		}
		switch typ := e.Text("type"); typ {
		case "mask", "prongs":
			if e.At.Before(r.spell.start) {
				e = r.spell.starter // on since before: the spell begins the run
			}
			on(typ, at, e)
		default:
			if c.nowOn {
				offSince = at
			}
			c.nowOn = false
		}
	}
	return c
}

// misnamed remarks on what was called a rotation and was none.
func (r *reading) misnamed() {
	was := ""
	for _, e := range r.own["interface"] {
		typ := e.Text("type")
		if typ == was && typ != "cannula" && e.Text("reason") == "rotation" {
			r.remark(e, "called a rotation, but "+typ+" to "+typ)
		}
		if typ != "off" {
			was = typ
		}
	}
}

// rotationFact is when mask and prongs were last alternated and are due again.
func (r *reading) rotationFact() Maybe[Rotation] {
	if !r.in(pressureModes) {
		return Maybe[Rotation]{}
	}
	c := r.readRun()
	var f Rotation
	if c.last != nil {
		f.Last = &Rotated{From: c.was, To: c.to, FromSince: c.since, FromUntil: c.until, Source: r.source(c.last)}
	}
	due, over := r.spaced("rotation", r.p.RotationDue, r.p.RotationOverdue)
	if due.None() {
		return known(f)
	}
	if c.typ == "" {
		f.State = "off"
		f.DueAt, f.OverdueAt = notCharted[time.Time](), notCharted[time.Time]()
		return known(f)
	}
	f.DueAt = known(c.from.Add(due.Duration))
	if !over.None() {
		f.OverdueAt = known(c.from.Add(over.Duration))
	}
	if !c.nowOn {
		f.State = "off"
		return known(f)
	}
	f.State, f.Until = r.state("rotation", "", *f.DueAt.Value, f.OverdueAt.Value, c.began)
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
