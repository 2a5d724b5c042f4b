package handover

import (
	"time"

	"cotline/handover/entry"
)

// humidifierFact is the heated chamber and its water.
func (r *reading) humidifierFact() Maybe[Humidifier] {
	if !r.in(heatedModes) {
		return Maybe[Humidifier]{}
	}
	entries := r.own["humidifier"]
	session, first, off := r.heated(entries)
	f := Humidifier{ReadyBeforeUse: r.readyBeforeUse(entries), Charted: len(entries) > 0}
	if e := latest(session, having("water")); e != nil {
		f.Water, f.WaterSeen = e.Text("water"), r.source(e)
	}
	if off {
		f.State = known("off")
	} else {
		r.chamber(&f, session, first)
		f.WaterEmptyAt = r.waterEmpty(session)
	}
	return known(f)
}

// heated are the entries since the latest on, warming or ready that follows off
// or nothing, that first entry, and whether it is off now.
func (r *reading) heated(entries []*entry.Standing) (session []*entry.Standing, first *entry.Standing, off bool) {
	session = entries
	for i, e := range entries {
		switch e.Text("state") {
		case "off":
			first, off, session = nil, true, entries[i+1:]
		case "on", "warming", "ready":
			if first == nil {
				first, off, session = e, false, entries[i:]
			}
		}
	}
	return session, first, off
}

// chamber judges the chamber's temperature against the unit's tolerance.
func (r *reading) chamber(f *Humidifier, session []*entry.Standing, first *entry.Standing) {
	e := latest(session, having("chamberC"))
	above := false
	if e != nil {
		c, _ := e.Number("chamberC")
		f.ChamberC = &NumberFact{c, r.source(e)}
		f.Source = f.ChamberC.Source
		above = c.Cmp(r.p.TargetC) > 0 && !r.tolerable(c)
	}
	ready := latest(session, being("state", "ready")) != nil
	switch {
	case above:
		f.State, f.InTolerance = known("out-of-tolerance"), known(false)
	case first != nil && !ready && r.at.Sub(first.At.Time) <= r.p.WarmUp:
		f.State = known("warming")
	case e == nil:
		f.State = notCharted[string]()
	case r.tolerable(f.ChamberC.Value):
		f.State, f.InTolerance = known("in-tolerance"), known(true)
	default:
		f.State, f.InTolerance = known("out-of-tolerance"), known(false)
	}
}

// tolerable says whether a chamber temperature is within tolerance, bounds in.
func (r *reading) tolerable(c entry.Decimal) bool {
	return c.Sub(r.p.TargetC).Abs().Cmp(r.p.ToleranceC) <= 0
}

// readyBeforeUse says whether the chamber was within tolerance, or ready, after
// the circuit was fitted and by the time the interface first went on in the
// spell; not charted when the circuit, the interface or any reading between is
// missing.
func (r *reading) readyBeforeUse(entries []*entry.Standing) Maybe[bool] {
	used, ok := r.firstOn()
	if !ok {
		return notCharted[bool]()
	}
	circuit := latest(r.own["circuit"], func(e *entry.Standing) bool {
		return e.Text("action") == "fitted" && !e.At.After(used)
	})
	if circuit == nil {
		return notCharted[bool]()
	}
	told, ready := false, false
	for _, e := range entries {
		if entry.InOrder(e, circuit) < 0 || e.At.After(used) {
			continue
		}
		c, read := e.Number("chamberC")
		told = told || read || e.Text("state") == "ready"
		ready = ready || e.Text("state") == "ready" || read && r.tolerable(c)
	}
	return knownIf(ready, told)
}

// waterEmpty is when the bag hung last runs out: check by eye.
func (r *reading) waterEmpty(entries []*entry.Standing) Maybe[time.Time] {
	hung := latest(entries, being("water", "changed"))
	if hung == nil {
		return leftOut[time.Time]("no bag charted as hung")
	}
	seen := func(word string, after time.Time) bool {
		return latest(entries, func(e *entry.Standing) bool {
			return e.Text("water") == word && entry.InOrder(e, hung) > 0 && e.At.After(after)
		}) != nil
	}
	if seen("low", time.Time{}) {
		return leftOut[time.Time]("found low since the bag was hung")
	}
	ml, ok := hung.Number("waterMl")
	flow := r.steps(r.settingsOf(r.spell, "flowLMin"), "flowLMin")
	chamber := r.steps(entries, "chamberC")
	if !ok || len(flow) == 0 || len(chamber) == 0 {
		return notCharted[time.Time]()
	}
	end, ends := runsOut(latestOf(hung.At.Time, r.spell.start), ml.Float(), flow, chamber)
	if !ends {
		return leftOut[time.Time]("no flow")
	}
	end = halfHour(end, r.p.Zone)
	if seen("ok", end) {
		return leftOut[time.Time]("found ok after the end that was computed")
	}
	return known(end)
}

func (r *reading) steps(entries []*entry.Standing, field string) []step {
	var out []step
	for _, e := range entries {
		if v, ok := e.Number(field); ok {
			out = append(out, step{e.At.Time, v.Float()})
		}
	}
	return out
}

// foundLow is the first low found and not changed or ok since, nil for none.
func (r *reading) foundLow() *entry.Standing {
	session, _, _ := r.heated(r.own["humidifier"])
	var low *entry.Standing
	for _, e := range session {
		switch e.Text("water") {
		case "low":
			if low == nil {
				low = e
			}
		case "changed", "ok":
			low = nil
		}
	}
	return low
}
