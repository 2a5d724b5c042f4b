package ward

import (
	"fmt"
	"time"
)

// bay is a group of infants, the two nurses who share it, and what they write for the unit.
type bay struct {
	*actor
	lives      []*life
	day, night string
}

// bays come after all infants: at one moment an infant leaves or comes before its bay is handed over.
const bays = 1_000_000

func newBay(w *randomWard, seed uint64, n int) *bay {
	b := &bay{actor: w.actor(seed, bays+n, bays+n)}
	pair := n % 3
	b.day = []string{"rn-agate", "rn-birch", "rn-comet"}[pair]
	b.night = []string{"rn-dune", "rn-elder", "rn-frost"}[pair]
	b.act = b.change
	b.wakes = nextChange(w.start)
	return b
}

func (b *bay) admits(l *life) { b.lives = append(b.lives, l) }

func (b *bay) nurse(t time.Time) string {
	if isDay(t) {
		return b.day
	}
	return b.night
}

// nextChange is the start of the next shift after t, by the unit's clock.
func nextChange(t time.Time) time.Time {
	for day := 0; ; day++ {
		for _, clock := range []time.Duration{7*time.Hour + minutes(40), 19*time.Hour + minutes(40)} {
			if s := local(t, day, clock); s.After(t) {
				return s
			}
		}
	}
}

// change hands the bay over: mostly accepted whole, sometimes in part, late, or never; sometimes only for a break.
func (b *bay) change(t time.Time) {
	shift := nextChange(t.Add(-minutes(1))).Equal(t) // else it is a break within the shift
	b.wakes = nextChange(t)
	if shift && b.chance(0.1) {
		b.wakes = b.within(t, 180, 420)
	}
	asOf := t.Add(-minutes(pick(b.r, 0, 2, 5, 15)))
	var here []string
	for _, l := range b.lives {
		if l.in && !l.told.After(t) { // nobody signs for an infant of whom nothing is written down yet
			here, asOf = append(here, l.key), later(asOf, l.since)
		}
	}
	if len(here) > 0 {
		b.handOver(t, signature{AsOf: stamp(asOf), Infants: here, Cover: !shift})
	}
	if b.chance(0.05) {
		b.unit(t, b.nurse(t), note{Text: fmt.Sprintf("Bay %d: short of %s.", b.n-bays+1, pick(b.r, "hoses", "bags", "barrier strips"))})
	}
	if b.chance(0.05) {
		asked := b.unit(t, b.nurse(t), task{Text: "count the bonnets", DueAt: stamp(b.within(t, 60, 600))})
		if b.chance(0.5) {
			b.unit(b.within(t, 30, 600), b.nurse(t), taskDone{asked})
		}
	}
}

func (b *bay) handOver(t time.Time, h signature) {
	h.To = b.nurse(t)
	if h.Cover {
		h.To = pick(b.r, "rn-agate", "rn-frost")
	}
	signed := b.unit(t, b.nurse(t.Add(-minutes(1))), h)
	taken := acceptance{Handover: signed, Infants: h.Infants, ReadBack: b.chance(0.6)}
	switch {
	case b.chance(0.03):
		return
	case b.chance(0.07):
		taken.Infants = some(b.r, h.Infants...)
	}
	if b.chance(0.5) {
		taken.Confirmed = map[string][]string{pick(b.r, taken.Infants...): some(b.r, "pressure", "fio2", "interface", "skin", "tube")}
	}
	b.unit(b.within(t, 0, pick(b.r, 6, 6, 6, 45)), h.To, taken)
}

// unit charts something of the whole unit and returns its id.
func (b *bay) unit(t time.Time, by string, f fields) string {
	e := entry{id: newID(b.r), at: t, charted: t, by: by, fields: f}
	b.queue(e)
	return e.id
}
