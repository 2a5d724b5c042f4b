package ward

import (
	"fmt"
	"strconv"
	"time"
)

// life is one infant of a random ward, from before the first admission to after the last discharge.
type life struct {
	*actor
	bay  *bay
	key  string
	twin *life // of whom it is easily taken for the other

	born        time.Time
	weeks, days int // of gestation at birth
	number      string
	grams       int  // at birth
	sparse      bool // hardly anything is charted

	in     bool
	stays  int
	since  time.Time // of the stay
	told   time.Time // when its admission was written down
	latest time.Time // of what was charted in the stay: it does not end before

	spell    bool
	mode, on string // of support; the type on the face, or off
	rotated  time.Time
	busy     time.Time // until then a break or a rest is going on
	tube     bool
}

func newLife(w *randomWard, b *bay, seed uint64, n int) *life {
	l := &life{actor: w.actor(seed, 1+n, n), bay: b, key: fmt.Sprintf("r-%05d", n), on: "off"}
	l.weeks, l.days = 24+l.r.IntN(10), l.r.IntN(7)
	l.grams = 600 + (l.weeks-24)*130 + l.r.IntN(300)
	l.number = strconv.Itoa(1_000_000 + (n*7919+int(seed%9_000_000))%9_000_000) // 7919 shares no factor with it: all differ
	l.sparse = l.chance(0.1)
	arrives := w.start.Add(-minutes(l.r.IntN(70 * 24 * 60)))
	if l.chance(0.25) {
		arrives = l.within(w.start, 0, int(w.end.Sub(w.start)*8/10/time.Minute))
	}
	l.born = arrives.Add(-minutes(pick(l.r, 20, 45, 90, 5*60, 3*24*60)))
	if n%inBay%2 == 1 && l.chance(0.4) { // the second of twins: same birth, a number with two digits changed about
		l.twin = b.lives[len(b.lives)-1]
		l.twin.twin = l
		l.weeks, l.days, l.born = l.twin.weeks, l.twin.days, l.twin.born.Add(minutes(l.r.IntN(20)))
		l.number = swapped(l.twin.number, l.number)
		arrives = l.twin.wakes.Add(minutes(20 + l.r.IntN(10)))
	}
	l.act, l.wakes = l.admit, arrives
	return l
}

// admit starts a stay. What was charted on the way to the ward belongs to it.
func (l *life) admit(t time.Time) {
	l.stays++
	l.in, l.since, l.latest = true, t, t
	l.spell, l.on, l.tube, l.busy = false, "off", false, time.Time{}
	a := admission{
		Born: stamp(l.born), Cot: l.cot(), MRN: l.number, Family: family(l.key), Given: pick(l.r, given...),
		Sex: pick(l.r, "female", "male", "female", "male", "female", "male", "other", "unknown"), Mother: fmt.Sprintf("mo-%05d", l.n),
		Visit: fmt.Sprintf("s-%05d-%d", l.n, l.stays), Gestation: fmt.Sprintf("%d+%d", l.weeks, l.days),
		BirthWeightG: Num(strconv.Itoa(l.grams)), From: pick(l.r, "birth room", "theatre", "another hospital"),
	}
	if l.twin != nil {
		first := l
		if l.twin.n < l.n {
			first = l.twin
		}
		a.Mother, a.Multiples, a.BirthOrder = fmt.Sprintf("mo-%05d", first.n), "2", Num(strconv.Itoa(1+l.n-first.n))
		a.Family = family(first.key)
	}
	if l.chance(0.1) {
		a.Gestation = strconv.Itoa(l.weeks)
	}
	if l.chance(0.1) {
		a.Born = l.born.In(zone).Format(time.DateOnly)
	}
	unnamed := l.stays == 1 && l.chance(0.15)
	if unnamed {
		a.MRN, a.Family, a.Given, a.Temporary = "", "", "", "T-"+l.key
	}
	l.told = l.chart(t, a).charted
	if unnamed && l.chance(0.7) {
		named := l.within(t, 30, 24*60)
		l.chart(named, identity{MRN: l.number, Family: family(l.key), Given: pick(l.r, given...)})
	}
	if l.chance(0.85) {
		l.starts(t)
	}
	l.chart(l.within(t, 30, 60), l.head())
	l.act = l.day
	l.wakes = later(l.within(t, 60, 120), l.ward.start)
}

// starts begins a spell within half an hour: set-up and what is set first, at the same moment or before it, from now on.
func (l *life) starts(now time.Time) {
	t := l.within(now, 0, 30)
	l.spell, l.mode = true, pick(l.r, "cpap", "cpap", "cpap", "cpap", "bilevel", "ventilation", "high-flow", "low-flow")
	before := later(now, t.Add(-minutes(pick(l.r, 0, 0, 5, 30))))
	l.chart(before, l.settings())
	l.chart(t, support{State: "started", Mode: l.mode, Driver: l.driver(), Why: pick(l.r, "", "breathing fast", "apnoea of prematurity")})
	l.on = "mask"
	if l.mode == "high-flow" || l.mode == "low-flow" {
		l.on = "cannula"
	}
	l.rotated = t
	l.chart(t, l.worn("first"))
	if !l.sparse {
		l.chart(before, circuit{"fitted"})
		l.chart(before, l.gas())
		l.chart(t, humidifier{State: pick(l.r, "on", "warming", "ready"), Chamber: l.chamber(), Water: "changed", WaterMl: "500"})
		l.chart(t, setup{Steps: l.steps(), Around: some(l.r, "incubator", "radiant-warmer", "phototherapy"), ProbeOutside: l.chance(0.5)})
		l.chart(t, seal{Held: l.chance(0.9), Pressure: "6"})
	}
}

// day is one visit to the cot: some of what a shift holds, then on to the next visit.
func (l *life) day(t time.Time) {
	gap := pick(l.r, 20, 40, 60, 60, 90, 120, 180)
	if l.sparse {
		gap *= 6
	}
	l.wakes = l.within(t, gap, gap+15)
	if t.After(l.latest) && l.chance(0.004) {
		l.leaves(t)
		return
	}
	if t.After(l.busy) {
		l.breathing(t)
	}
	for range 1 + l.r.IntN(3) {
		l.visit(l.within(t, 0, pick(l.r, 0, 0, 3, 10)))
	}
}

// breathing is what may happen to support and interface: each for its own chance, one at a time.
func (l *life) breathing(t time.Time) {
	switch x := l.r.Float64(); {
	case !l.spell:
		if x < 0.05 {
			l.starts(t)
		}
	case x < 0.01: // a stop: a break at its limit of 45 minutes, just in, just out, or for good
		l.chart(t, support{State: "stopped", Reason: pick(l.r, "weaned", "trial-off", "procedure", "escalated", "other")})
		if l.chance(0.5) {
			l.chart(t, nasal{Type: "off"})
		}
		if pause := pick(l.r, -1, 0, 20, 44, 45, 46, 180); pause >= 0 {
			l.busy = t.Add(minutes(pause))
			l.chart(l.busy, support{State: "started", Mode: l.mode, Driver: l.driver()})
			l.chart(l.busy, l.worn("other"))
		} else {
			l.spell, l.on = false, "off"
		}
	case x < 0.02: // another mode in the same spell; sometimes charted as a start
		l.mode = pick(l.r, "cpap", "bilevel", "high-flow", "low-flow", "ventilation")
		l.chart(t, support{State: pick(l.r, "changed", "changed", "started"), Mode: l.mode, Driver: l.driver()})
		l.chart(t, l.settings())
		l.on = pick(l.r, "mask", "prongs")
		if l.mode == "high-flow" || l.mode == "low-flow" {
			l.on = "cannula"
		}
		l.chart(t, l.worn("other"))
	case x < 0.05: // a rest at its limit of an hour, just in, just out, or a short off
		l.busy = t.Add(minutes(pick(l.r, 0, 5, 20, 59, 60, 61, 150)))
		l.chart(t, nasal{Type: "off", Reason: "cares"})
		l.chart(l.busy, l.worn("cares"))
	case l.on != "cannula" && t.Sub(l.rotated) > time.Duration(180+l.r.IntN(300))*time.Minute:
		if l.on == "mask" {
			l.on = "prongs"
		} else {
			l.on = "mask"
		}
		l.rotated = t
		l.amended(t, l.skin)
		l.chart(t, l.worn("rotation"))
	}
}

// leaves ends the stay; one in two comes back, after a while on the way.
func (l *life) leaves(t time.Time) {
	l.chart(t, discharge{To: pick(l.r, "home", "ward", "unit", "hospital"), Place: "Heather ward"})
	l.in, l.spell = false, false
	l.wakes, l.act = l.ward.end.Add(time.Hour), func(time.Time) {}
	if l.chance(0.5) {
		l.wakes, l.act = l.within(t, 40, 48*60), l.admit
		if l.chance(0.3) && !l.wakes.After(l.ward.end) { // seen by the team that fetches the infant: before the admission, of the stay to come
			l.queue(l.entry(l.wakes.Add(-minutes(20)), l.observations()))
		}
	}
}

// chart charts something of the stay, mostly within minutes, sometimes hours later, now and then by a clock that is
// ahead, now and then in another offset.
func (l *life) chart(t time.Time, f fields) entry {
	e := l.entry(t, f)
	l.queue(e)
	if t.After(l.latest) {
		l.latest = t
	}
	return e
}

func (l *life) entry(t time.Time, f fields) entry {
	e := entry{id: newID(l.r), infant: l.key, at: t, charted: l.within(t, 0, 6), by: l.bay.nurse(t), fields: f}
	switch x := l.r.Float64(); {
	case x < 0.02:
		e.charted = l.within(t, 60, 540)
	case x < 0.03:
		e.charted = t.Add(-minutes(1))
	case x < 0.04:
		e.offset = time.UTC
	}
	return e
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}
