package ward

import (
	"cmp"
	"iter"
	"math/rand/v2"
	"slices"
	"time"
)

// A scenario gathers the entries of the demo ward.
type scenario struct {
	rooms   []room
	covers  []cover
	entries []entry
}

// room is a group of infants whom one nurse looks after by day and another by night.
type room struct {
	day, night string
	infants    []*chart
}

// cover is a break in which another nurse looks after a room.
type cover struct {
	room     int
	from, to time.Time
	nurse    string
}

// A chart is one infant's part of the scenario.
type chart struct {
	*scenario
	room int
	key  string
	r    *rand.Rand // its own, so that a change to one infant leaves the lines of the others alone

	admitted, left time.Time

	// State that the rhythm of the days depends on.
	mask, prongs, on string // sizes, and the type on now
	turns            []turn // how the skin changes
	barrier          []string
	set              []timed[settings]
	modes            []timed[string] // "" once support has stopped
	mark             Num
}

type turn struct {
	from    time.Time
	site    string
	finding string
	also    []string
}

type timed[T any] struct {
	at   time.Time
	what T
}

// infant opens the chart of one, in a room. The seed is the demo's, the stream the infant's.
func (b *scenario) infant(room int, key string, number uint64) *chart {
	c := &chart{scenario: b, room: room, key: key, r: rand.New(rand.NewPCG(20261025, number))}
	b.rooms[room].infants = append(b.rooms[room].infants, c)
	return c
}

// at charts, by the nurse on duty and a few minutes later, what happened at a moment. It returns the entry's id.
func (c *chart) at(moment string, f fields) string { return c.put(when(moment), f) }

func (c *chart) put(at time.Time, f fields) string {
	return c.write(at, at.Add(minutes(c.r.IntN(7))), c.onDuty(at), f)
}

// late charts what happened at a moment, but long after it, by the nurse who is on duty by then.
func (c *chart) late(moment, charted string, f fields) string {
	return c.write(when(moment), when(charted), c.onDuty(when(charted)), f)
}

// ordered is what the prescriber charts.
func (c *chart) ordered(moment string, f fields) {
	at := when(moment)
	c.write(at, at.Add(minutes(1+c.r.IntN(3))), "np-marl", f)
}

// correct charts how an entry should have been. Later rounds follow the correction.
func (c *chart) correct(of, moment, reason, at string, f fields) {
	c.follow(when(at), f)
	c.write(when(moment), when(moment), c.onDuty(when(moment)), correction{of, reason, restated(when(at), f)})
}

// retract takes an entry back. movedTo is the entry charted anew on the right infant, if any.
func (c *chart) retract(of, moment, reason, movedTo string) {
	c.write(when(moment), when(moment), c.onDuty(when(moment)), retraction{of, reason, movedTo})
}

func (c *chart) write(at, charted time.Time, by string, f fields) string {
	c.follow(at, f)
	e := entry{id: newID(c.r), infant: c.key, at: at, charted: charted, by: by, fields: f}
	c.entries = append(c.entries, e)
	return e.id
}

// follow keeps what later rounds depend on.
func (c *chart) follow(at time.Time, f fields) {
	switch f := f.(type) {
	case admission:
		c.admitted, c.left = at, time.Time{}
	case discharge:
		c.left = at
	case settings:
		c.set = append(c.set, timed[settings]{at, f})
	case support:
		c.modes = append(c.modes, timed[string]{at, f.Mode})
	case nasal:
		if f.Type != "off" {
			c.on = f.Type
		}
	case tube:
		if f.Action == "placed" || f.Action == "repositioned" {
			c.mark = f.MarkCm
		}
	}
}

// inForce is what is set at a moment.
func (c *chart) inForce(t time.Time) (pressure, fio2 Num) {
	for s := range upTo(c.set, t) {
		pressure, fio2 = cmp.Or(s.Pressure, pressure), cmp.Or(s.FiO2, fio2)
	}
	return pressure, fio2
}

// mode is the mode of support at a moment, "" without any.
func (c *chart) mode(t time.Time) (mode string) {
	for m := range upTo(c.modes, t) {
		mode = m
	}
	return mode
}

// upTo lists what was charted up to a moment, in order. Of two things at one moment, the one charted later counts as later.
func upTo[T any](things []timed[T], t time.Time) iter.Seq[T] {
	slices.SortStableFunc(things, func(a, b timed[T]) int { return a.at.Compare(b.at) })
	return func(yield func(T) bool) {
		for _, x := range things {
			if x.at.After(t) || !yield(x.what) {
				return
			}
		}
	}
}

// skinTurns sets what a site looks like from a moment on.
func (c *chart) skinTurns(moment, where, finding string, also ...string) {
	c.turns = append(c.turns, turn{when(moment), where, finding, also})
}

// onDuty is the nurse who looks after the infant at a moment.
func (c *chart) onDuty(t time.Time) string {
	for _, v := range c.covers {
		if v.room == c.room && !t.Before(v.from) && t.Before(v.to) {
			return v.nurse
		}
	}
	return c.rooms[c.room].nurse(isDay(t))
}

func (r room) nurse(day bool) string {
	if day {
		return r.day
	}
	return r.night
}

func minutes(n int) time.Duration { return time.Duration(n) * time.Minute }
