package handover

import (
	"cmp"
	"maps"
	"slices"
	"time"
)

// WasDue is something that was due, as it was when it was last so.
type WasDue struct {
	Due
	Ending
}

// sameDue is what tells something due from the same that falls due later.
type sameDue struct {
	what, care string
	at         int64
}

// fallsDue is everything that falls due, but for tasks: the kinds of entries that decide,
// beside everDecides, whether it is due; and the facts that this is read from.
var fallsDue = []struct {
	whats, kinds []string
	facts        func(*reading, *Summary)
}{
	{[]string{"rotation"}, []string{"interface"}, func(r *reading, s *Summary) {
		s.Interface, s.Rotation = r.interfaceFact(), r.rotationFact()
	}},
	{[]string{"skin"}, []string{"skin", "interface", "bonnet"}, func(r *reading, s *Summary) { s.Skin = r.skinFact() }},
	{[]string{"head", "bonnet"}, []string{"head", "bonnet", "identity"}, func(r *reading, s *Summary) { s.Bonnet = r.bonnetFact() }},
	{[]string{"circuit"}, []string{"circuit"}, func(r *reading, s *Summary) { s.Setup = r.setupFact() }},
	{[]string{"water", "humidifier"}, []string{"humidifier", "settings", "circuit"}, func(r *reading, s *Summary) {
		s.Humidifier = r.humidifierFact()
	}},
	{[]string{"observations"}, []string{"observations"}, nil},
	{[]string{"tube"}, []string{"tube"}, nil},
	{[]string{"oxygen-sensor"}, []string{"calibration"}, nil},
	{[]string{"safety"}, []string{"safety"}, nil},
	{[]string{"care"}, []string{"care"}, nil},
}

// everDecides are the kinds that decide, of everything, whether it is due.
var everDecides = []string{"admission", "discharge", "support", "plan", "deferral"}

// WasDue is what was due, overdue or deferred at some moment after from, by what had
// happened and was written down by that moment, and is not at the moment asked for, by
// what was known then. Charted tasks are not in it: an entry ends them.
func (c *Course) WasDue(from, at, known time.Time) []WasDue {
	var out []WasDue
	for _, of := range fallsDue {
		some := c.only(append(of.kinds, everDecides...)...)
		out = append(out, some.wasDue(from, at, known, func(at, known time.Time) map[sameDue]Due {
			return some.due(at, known, of.whats, of.facts)
		})...)
	}
	slices.SortFunc(out, func(a, b WasDue) int {
		return cmp.Or(a.Last.Compare(b.Last), a.OverdueAt.Compare(b.OverdueAt), cmp.Compare(a.What, b.What), cmp.Compare(a.Care, b.Care),
			a.At.Compare(b.At))
	})
	return out
}

// wasDue follows what due tells from moment to moment.
func (c *Course) wasDue(from, at, known time.Time, due func(at, known time.Time) map[sameDue]Due) []WasDue {
	type open struct {
		due  Due
		last time.Time
	}
	is := map[sameDue]open{}
	was := map[sameDue]WasDue{}
	before := from
	end := func(key sameDue, o open, t time.Time, here func() map[sameDue]Due) {
		seen := before
		if _, still := here()[key]; still {
			seen = passed(key, before, t, func(t time.Time) map[sameDue]Due { return due(earliestOf(t, at), earliestOf(t, known)) })
		}
		was[key] = WasDue{o.due, Ending{o.last, seen}}
	}
	step := func(t time.Time) {
		now := due(earliestOf(t, at), earliestOf(t, known))
		var there map[sameDue]Due // at the moment before, when something was written down
		here := func() map[sameDue]Due {
			if there == nil {
				there = due(earliestOf(before, at), earliestOf(before, known))
			}
			return there
		}
		for key, o := range is {
			if _, still := now[key]; !still {
				end(key, o, t, here)
				delete(is, key)
			}
		}
		for key, d := range now {
			delete(was, key)
			is[key] = open{d, t}
		}
	}
	until := latestOf(at, known)
	for _, m := range c.moments(from, until) {
		if last := m.Add(-1); last.After(before) {
			step(last)
		}
		before = m
	}
	step(until)
	return slices.Collect(maps.Values(was))
}

// due is what is due of some things at a moment, by what was known at another.
func (c *Course) due(at, known time.Time, whats []string, facts func(*reading, *Summary)) map[sameDue]Due {
	r := c.reading(at, known)
	if r == nil {
		return nil
	}
	s := &Summary{}
	if facts != nil {
		facts(r, s)
	}
	out := map[sameDue]Due{}
	for _, d := range dueFact(r.dues(s)) {
		if slices.Contains(whats, d.What) {
			out[sameDue{d.What, d.Care, r.moment(d).UnixNano()}] = d
		}
	}
	return out
}

// passed is when time alone ended what was due, between two moments at which nothing
// happened and nothing was written down.
func passed(key sameDue, last, seen time.Time, due func(time.Time) map[sameDue]Due) time.Time {
	for seen.Sub(last) > 1 {
		t := last.Add(seen.Sub(last) / 2)
		if _, still := due(t)[key]; still {
			last = t
		} else {
			seen = t
		}
	}
	return seen
}
