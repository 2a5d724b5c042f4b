package handover

import (
	"time"

	"cotline/handover/entry"
)

// run is the stretch of mask or prongs that the rotation is counted from, and the
// rotations before it in the same spell.
type run struct {
	typ   string
	from  time.Time
	began *entry.Standing // the entry that began it
	turns []turn
	nowOn bool // mask or prongs is on at the end of the spell or at the moment of the reading
}

// turn is a rotation: a change between mask and prongs within a spell.
type turn struct {
	entry        *entry.Standing
	from, to     string
	since, until time.Time // the stretch of what was on before
}

// readRun folds the interface entries of a spell. Off, and cannula with it, is looked
// through unless it lasted a rest.
func (r *reading) readRun(s *spell) run {
	var c run
	var offSince time.Time
	on := func(typ string, at time.Time, e *entry.Standing) {
		switch {
		case c.typ == "":
			c.typ, c.from, c.began = typ, at, e
		case c.typ != typ:
			until := at
			if !c.nowOn {
				until = offSince
			}
			c.turns = append(c.turns, turn{entry: e, from: c.typ, to: typ, since: c.from, until: until})
			c.typ, c.from, c.began = typ, at, e
		case !c.nowOn && at.Sub(offSince) >= r.p.Rest:
			c.from, c.began = at, e
		}
		c.nowOn = true
	}
	entries := r.own["interface"]
	for i, e := range entries {
		if !s.end.IsZero() && entry.InOrder(s.stopper, e) < 0 {
			break
		}
		at := latestOf(e.At.Time, s.start)
		if i+1 < len(entries) && !entries[i+1].At.After(s.start) {
			continue // what is on at the spell's start is what was put on last by then
		}
		switch typ := e.Text("type"); typ {
		case "mask", "prongs":
			if e.At.Before(s.start) {
				e = s.starter // on since before: the spell begins the run
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

// Rotations are the entries by which mask and prongs changed places within a spell, in
// the record's order, in any mode. What is given are the entries of one stay in that order;
// a change while support was off counts if the policy holds that stretch for a break.
func (p *Policy) Rotations(stay []*entry.Standing) []*entry.Standing {
	r := &reading{p: p, own: byKind(stay)}
	r.readSpells()
	var out []*entry.Standing
	for _, s := range r.spells {
		for _, t := range r.readRun(s).turns {
			out = append(out, t.entry)
		}
	}
	return out
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
	c := r.readRun(r.spell)
	var f Rotation
	if n := len(c.turns); n > 0 {
		last := c.turns[n-1]
		f.Last = &Rotated{From: last.from, To: last.to, FromSince: last.since, FromUntil: last.until, Source: r.source(last.entry)}
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
