package handover

import (
	"cmp"
	"slices"
	"time"
)

// WasTogether is what could be mistaken, or was shared, between two infants, as it was
// when it was last so. It stands once for each of the two.
type WasTogether struct {
	Infant, Other string
	What          string // driver, cot or number of a conflict; empty of a look-alike
	Value         string // of a conflict
	Why           string // of a look-alike
	At            time.Time
	Ending
}

// pair is one thing between two infants, the lesser key first.
type pair struct{ a, b, what string }

// WasTogether is what two infants of a ward shared, or could be mistaken by, at some
// moment after from, by what had happened and was written down by that moment, and do
// not at the moment asked for, by what was known then. At is since when not, as it was
// known when it was no longer so.
func (w Ward) WasTogether(from, at, known time.Time) []WasTogether {
	t := &togetherness{courses: map[string]*Course{}, now: map[string]*traits{}, is: map[pair]shared{}, was: map[pair]WasTogether{}}
	type change struct {
		at     time.Time
		infant string
	}
	var changes []change
	until := latestOf(at, known)
	for key, entries := range writtenBy(w.Entries, until) {
		if key == "" {
			continue
		}
		c := NewCourse(w.Policy, key, entries).only("admission", "discharge", "identity", "move", "support")
		t.courses[key] = c
		changes = append(changes, change{from, key})
		for _, m := range c.moments(from, until) {
			changes = append(changes, change{m, key})
		}
	}
	slices.SortFunc(changes, func(a, b change) int { return cmp.Or(a.at.Compare(b.at), cmp.Compare(a.infant, b.infant)) })
	for len(changes) > 0 { // all of a moment at once: two may swap what they have
		n := 1
		for n < len(changes) && changes[n].at.Equal(changes[0].at) {
			n++
		}
		var infants []string
		for _, c := range changes[:n] {
			infants = append(infants, c.infant)
		}
		t.change(infants, changes[0].at, earliestOf(changes[0].at, at), earliestOf(changes[0].at, known))
		changes = changes[n:]
	}
	var out []WasTogether
	for _, x := range t.was {
		x.At = t.since(x, at)
		out = append(out, x)
		x.Infant, x.Other = x.Other, x.Infant
		out = append(out, x)
	}
	slices.SortFunc(out, func(a, b WasTogether) int {
		return cmp.Or(cmp.Compare(a.Infant, b.Infant), a.Last.Compare(b.Last), cmp.Compare(a.Other, b.Other), cmp.Compare(a.What, b.What))
	})
	return out
}

type shared struct{ value, why string }

// togetherness follows what infants have between them.
type togetherness struct {
	courses map[string]*Course
	now     map[string]*traits // of those who are admitted
	is      map[pair]shared
	was     map[pair]WasTogether
}

// change compares infants with all others when something about them may have changed.
func (t *togetherness) change(infants []string, moment, at, known time.Time) {
	var other []string
	for _, infant := range infants {
		was, is := t.now[infant], t.courses[infant].traits(at, known)
		switch {
		case is == nil && was == nil, is != nil && was != nil && is.same(was):
			continue
		case is == nil:
			delete(t.now, infant)
		default:
			t.now[infant] = is
		}
		other = append(other, infant)
	}
	for key := range t.is {
		gone := t.now[key.a] == nil || t.now[key.b] == nil
		if gone && (slices.Contains(other, key.a) || slices.Contains(other, key.b)) {
			t.end(key, moment)
		}
	}
	for _, infant := range other {
		x := t.now[infant]
		for key, y := range t.now {
			if x != nil && key != infant {
				t.compare(infant, key, x, y, moment)
			}
		}
	}
}

func (t *togetherness) compare(infant, other string, x, y *traits, moment time.Time) {
	here := between(x, y)
	for _, what := range []string{"", "driver", "cot", "number"} {
		key := pair{min(infant, other), max(infant, other), what}
		if now, so := here[what]; so {
			t.is[key] = now
			delete(t.was, key)
		} else if _, so := t.is[key]; so {
			t.end(key, moment)
		}
	}
}

func (t *togetherness) end(key pair, moment time.Time) {
	last := t.is[key]
	delete(t.is, key)
	t.was[key] = WasTogether{Infant: key.a, Other: key.b, What: key.what, Value: last.value, Why: last.why,
		Ending: Ending{moment.Add(-1), moment}}
}

// between is what two infants have between them, by what it is.
func between(x, y *traits) map[string]shared {
	if x == nil || y == nil {
		return nil
	}
	out := map[string]shared{}
	for _, c := range x.conflicts(y) {
		out[c.What] = shared{value: c.Value}
	}
	if why := x.like(y); why != "" {
		out[""] = shared{why: why}
	}
	return out
}

// since is when it ended: where that was charted late, earlier than it was seen.
func (t *togetherness) since(x WasTogether, at time.Time) time.Time {
	so := func(moment time.Time) bool {
		a, b := t.courses[x.Infant].traits(earliestOf(moment, at), x.Seen), t.courses[x.Other].traits(earliestOf(moment, at), x.Seen)
		_, so := between(a, b)[x.What]
		return so
	}
	var since time.Time
	for _, c := range []*Course{t.courses[x.Infant], t.courses[x.Other]} {
		for _, e := range c.entries {
			v := e.Says()
			late := e.Kind != "retraction" && e.Charted.Equal(x.Seen) && v.At.Before(x.Seen)
			if late && v.At.After(since) && !so(v.At.Time) && so(v.At.Add(-1)) {
				since = v.At.Time
			}
		}
	}
	if since.IsZero() {
		return x.Seen
	}
	return since
}

// traits are what an infant is compared by, nil where it was not admitted.
func (c *Course) traits(at, known time.Time) *traits {
	r := c.reading(at, known)
	if r == nil {
		return nil
	}
	t := traitsOf(r.who(), r)
	return &t
}

func (a *traits) same(b *traits) bool {
	return a.driver == b.driver && a.born == b.born && a.s.Cot == b.s.Cot && a.s.MRN == b.s.MRN && a.s.Mother == b.s.Mother &&
		slices.Equal(a.family.runes, b.family.runes)
}
