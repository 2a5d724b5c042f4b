package handover

import (
	"slices"

	"cotline/handover/entry"
)

// bonnetState folds the stay's bonnet entries.
type bonnetState struct {
	in    bool
	size  string
	since *entry.Standing            // began the unbroken stretch of this size
	putOn *entry.Standing            // began the stretch of any size
	off   *entry.Standing            // removed, or none
	found map[string]*entry.Standing // the first tight, slack, soiled since it was last put right
}

func (r *reading) readBonnet() bonnetState {
	b := bonnetState{found: map[string]*entry.Standing{}}
	for _, e := range r.own["bonnet"] {
		switch action := e.Text("action"); action {
		case "fitted", "found":
			size := e.Text("size")
			if action == "fitted" || !b.in || size != b.size {
				clear(b.found)
			}
			if !b.in {
				b.putOn = e
			}
			if !b.in || size != b.size {
				b.since = e
			}
			b.in, b.size, b.off = true, size, nil
		case "removed", "none":
			clear(b.found)
			if b.in || b.off == nil {
				b.off = e
			}
			b.in, b.size, b.since, b.putOn = false, "", nil, nil
		default:
			if b.found[action] == nil {
				b.found[action] = e
			}
		}
	}
	return b
}

// bonnetReasons are ranked: of several on one day the one named first rules.
var bonnetReasons = []string{"never-measured", "out-of-range", "tight", "slack", "soiled", "outgrowing", "weekly"}

// bonnetFact is the bonnet on, and when head and bonnet are to be looked at. It
// applies in the modes with a set pressure, and while a bonnet is on.
func (r *reading) bonnetFact() Maybe[Bonnet] {
	b := r.readBonnet()
	if !r.in(pressureModes) && !b.in {
		return Maybe[Bonnet]{}
	}
	var f Bonnet
	heads := r.heads()
	add := func(reason string, on entry.Date, e *entry.Standing) {
		x := Reason{Reason: reason, On: on}
		if e != nil {
			x.Entry = e.ID
		}
		f.Reasons = append(f.Reasons, x)
	}
	if len(heads) == 0 {
		on, e := r.bonnetStart()
		add("never-measured", on, e)
	}
	r.bonnetFit(&f, b, heads, add)
	for _, finding := range []string{"tight", "slack", "soiled"} {
		if e := b.found[finding]; e != nil {
			add(finding, r.day(e.At.Time), e)
		}
	}
	if size, ok := r.p.Bonnet(b.size); ok && b.in {
		if w, from, ok := r.forecastOf(size.ToCm); ok {
			f.CheckFrom, f.Latest = w.checkFrom, w.latest
			if !w.expected.IsZero() {
				add("outgrowing", w.expected, from)
			}
		}
	}
	if on, e := r.weeklyHead(heads); !on.IsZero() {
		add("weekly", on, e)
	}
	r.bonnetDue(&f)
	return known(f)
}

// bonnetDue sets the day on which head and bonnet are to be looked at: that of the
// earliest reason, none without one.
func (r *reading) bonnetDue(f *Bonnet) {
	if len(f.Reasons) == 0 {
		return
	}
	slices.SortStableFunc(f.Reasons, func(a, b Reason) int {
		if a.On != b.On {
			return a.On.Sub(b.On)
		}
		return slices.Index(bonnetReasons, a.Reason) - slices.Index(bonnetReasons, b.Reason)
	})
	f.DueOn, f.Reason = f.Reasons[0].On, f.Reasons[0].Reason
	f.State, f.Until = r.dayState("bonnet", f.DueOn, r.headOrBonnetDone())
}

// bonnetFit fills in size and fit, which do not apply to a bonnet charted off.
func (r *reading) bonnetFit(f *Bonnet, b bonnetState, heads []*entry.Standing, add func(string, entry.Date, *entry.Standing)) {
	switch {
	case b.in:
		f.Size, f.Since, f.Source = known(b.size), b.since.At.Time, r.source(b.since)
	case b.off != nil:
		f.Source = r.source(b.off)
		return
	default:
		f.Size = notCharted[string]()
	}
	f.Fits = notCharted[bool]()
	size, ranged := r.p.Bonnet(b.size)
	if !b.in || !ranged || len(heads) == 0 {
		return
	}
	last := heads[len(heads)-1]
	cm, _ := last.Number("circumferenceCm")
	fits := size.Fits(cm)
	f.Fits = known(fits)
	if !fits {
		e := last // the later of the two: only then was it so
		if entry.InOrder(b.since, last) > 0 {
			e = b.since
		}
		add("out-of-range", r.day(e.At.Time), e)
	}
}

// bonnetStart is the day the first spell of the stay started, or its first
// bonnet came on, the earlier.
func (r *reading) bonnetStart() (entry.Date, *entry.Standing) {
	var e *entry.Standing
	if len(r.spells) > 0 {
		e = r.spells[0].starter
	}
	for _, b := range r.own["bonnet"] {
		if action := b.Text("action"); action == "fitted" || action == "found" {
			if e == nil || b.At.Before(e.At.Time) {
				e = b
			}
			break
		}
	}
	if e == nil {
		return entry.Date{}, nil
	}
	return r.day(e.At.Time), e
}

// weeklyHead is the civil day of the latest head, reliable or not, plus the interval
// of head; the zero day when there is none.
func (r *reading) weeklyHead(heads []*entry.Standing) (entry.Date, *entry.Standing) {
	every, _ := r.interval("head", "", r.p.Head)
	if every.None() || len(heads) == 0 {
		return entry.Date{}, nil
	}
	last := heads[len(heads)-1]
	return r.day(last.At.Time).Add(every.Days()), last
}

// headOrBonnetDone is the latest entry that ends a deferral of head or bonnet, whichever
// was deferred last: a measured head ends either, and so does a new finding; a bonnet
// seen to ends that of the bonnet alone.
func (r *reading) headOrBonnetDone() *entry.Standing {
	deferred := latest(r.deferred, being("what", "head", "bonnet"))
	ends := []string{"tight", "slack", "soiled"}
	if deferred != nil && deferred.Text("what") == "bonnet" {
		ends = append(ends, "fitted", "found", "removed", "none")
	}
	head := latest(r.heads(), always)
	bonnet := latest(r.own["bonnet"], being("action", ends...))
	if head == nil || bonnet != nil && entry.InOrder(bonnet, head) > 0 {
		return bonnet
	}
	return head
}
