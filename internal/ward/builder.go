package ward

import (
	"math/rand/v2"
	"slices"
	"time"
)

// A book gathers the entries of the demo ward.
type book struct {
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

// A chart is one infant's part of the book.
type chart struct {
	*book
	room int
	key  string
	r    *rand.Rand // its own: a change to one infant leaves the lines of the others as they are

	admitted, left time.Time

	// What the rhythm of the days goes by.
	mask, prongs, on string // sizes, and the type on now
	turns            []turn // how the skin goes
	barrier          []string
	set              []timedSettings
	mark             Num
}

type turn struct {
	from    time.Time
	site    string
	finding string
	also    []string
}

type timedSettings struct {
	at time.Time
	settings
}

// infant opens the chart of one, in a room. The seed is the demo's, the stream the infant's.
func (b *book) infant(room int, key string, number uint64) *chart {
	c := &chart{book: b, room: room, key: key, r: rand.New(rand.NewPCG(20261025, number))}
	b.rooms[room].infants = append(b.rooms[room].infants, c)
	return c
}

// at charts what happened at a moment, a few minutes later, by the nurse on duty. It returns the entry's id.
func (c *chart) at(moment string, f fields) string { return c.put(when(moment), f) }

func (c *chart) put(at time.Time, f fields) string {
	return c.write(at, at.Add(minutes(c.r.IntN(7))), c.onDuty(at), f)
}

// late charts what happened at a moment long after it, by the nurse on duty then.
func (c *chart) late(moment, charted string, f fields) string {
	return c.write(when(moment), when(charted), c.onDuty(when(charted)), f)
}

// ordered is what the prescriber charts.
func (c *chart) ordered(moment string, f fields) string {
	at := when(moment)
	return c.write(at, at.Add(minutes(1+c.r.IntN(3))), "np-marl", f)
}

// correct says how an entry should have been. The rhythm goes by the correction.
func (c *chart) correct(of, moment, reason, at string, f fields) string {
	c.follow(when(at), f)
	return c.write(when(moment), when(moment), c.onDuty(when(moment)), correction{of, reason, restated(when(at), f)})
}

// retract takes an entry back. movedTo is the entry charted anew on the right infant, if any.
func (c *chart) retract(of, moment, reason, movedTo string) string {
	return c.write(when(moment), when(moment), c.onDuty(when(moment)), retraction{of, reason, movedTo})
}

func (c *chart) write(at, charted time.Time, by string, f fields) string {
	c.follow(at, f)
	e := entry{newID(c.r), c.key, at, charted, by, f}
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
		c.set = append(c.set, timedSettings{at, f})
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
	slices.SortStableFunc(c.set, func(a, b timedSettings) int { return a.at.Compare(b.at) })
	for _, s := range c.set {
		if s.at.After(t) {
			break
		}
		if s.Pressure != "" {
			pressure = s.Pressure
		}
		if s.FiO2 != "" {
			fio2 = s.FiO2
		}
	}
	return pressure, fio2
}

// skinTurns says that a site is found so from a moment on.
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
