package ward

import (
	"container/heap"
	"fmt"
	"iter"
	"math/rand/v2"
	"slices"
	"time"
)

// Random wards serve tests and benchmarks. They are valid under this package's policy and full of awkward cases: breaks
// and rests at their very limits, several entries at one moment, corrections of corrections, the wrong twin, late
// charting, second stays, and the night in which the clock changes.

// inBay is how many infants one nurse looks after.
const inBay = 6

// Random yields the entries of a ward of 1 to 10,000 infants, one NDJSON line each (newline included), in the order of
// moments. The days are civil days of the unit's zone around a night in which the clock changes; stays may have begun
// up to ten weeks before. The same seed and sizes give the same lines. Memory holds the state of
// each infant and the entries it is about to chart, never the whole record. Random panics without an infant or a day.
func Random(seed uint64, infants, days int) iter.Seq[[]byte] {
	if infants < 1 || infants > 10_000 || days < 1 {
		panic(fmt.Sprintf("ward: no ward of %d infants over %d days", infants, days))
	}
	return func(yield func([]byte) bool) {
		w := newRandomWard(seed, infants, days)
		for w.Len() > 0 {
			a := w.actors[0]
			t := a.next()
			if t.After(w.end) {
				return
			}
			if e, ok := a.first(t); ok {
				if !yield(e.line()) {
					return
				}
			} else {
				a.act(t)
			}
			heap.Fix(w, a.slot)
		}
	}
}

// randomWard is a queue of actors by the moment at which each has something to chart or to do.
type randomWard struct {
	start, end time.Time
	actors     []*actor
}

// actor is an infant, or the nurses of a bay. Its pending entries wait in order; at the moment wakes it acts.
type actor struct {
	ward    *randomWard
	r       *rand.Rand
	n, slot int // its number, its place in the queue
	pending []entry
	wakes   time.Time
	act     func(time.Time)
}

func newRandomWard(seed uint64, infants, days int) *randomWard {
	r := rand.New(rand.NewPCG(seed, 0))
	night := []string{"2026-10-25", "2026-03-29"}[r.IntN(2)] // the clock goes back, or forward, before its dawn
	change, _ := time.ParseInLocation(time.DateOnly, night, zone)
	w := &randomWard{start: local(change, -r.IntN(days), 0)}
	w.end = local(w.start, days, 0)
	var bay *bay
	for i := range infants {
		if i%inBay == 0 {
			bay = newBay(w, seed, i/inBay)
		}
		bay.admits(newLife(w, bay, seed, i))
	}
	heap.Init(w)
	return w
}

func (w *randomWard) actor(seed uint64, stream, n int) *actor {
	a := &actor{ward: w, r: rand.New(rand.NewPCG(seed, uint64(stream))), n: n, slot: len(w.actors)} // #nosec G115 -- a seed
	w.actors = append(w.actors, a)
	return a
}

// next is when the actor charts or does something.
func (a *actor) next() time.Time {
	if len(a.pending) > 0 && !a.pending[0].at.After(a.wakes) {
		return a.pending[0].at
	}
	return a.wakes
}

// first takes the entry of a moment off what is pending, if there is one.
func (a *actor) first(t time.Time) (entry, bool) {
	if len(a.pending) == 0 || a.pending[0].at.After(t) {
		return entry{}, false
	}
	e := a.pending[0]
	a.pending = slices.Delete(a.pending, 0, 1)
	return e, true
}

// queue puts an entry among the pending ones, and the actor where it then belongs.
func (a *actor) queue(e entry) {
	at, _ := slices.BinarySearchFunc(a.pending, e, byMoment)
	a.pending = slices.Insert(a.pending, at, e)
	heap.Fix(a.ward, a.slot)
}

// chance is true with a probability.
func (a *actor) chance(p float64) bool { return a.r.Float64() < p }

// within is a moment from one to another number of minutes after t.
func (a *actor) within(t time.Time, from, to int) time.Time {
	return t.Add(minutes(from + a.r.IntN(to-from+1)))
}

func pick[T any](r *rand.Rand, of ...T) T { return of[r.IntN(len(of))] }

// some are a few of the words, in their order, at least one.
func some(r *rand.Rand, of ...string) []string {
	out := slices.DeleteFunc(slices.Clone(of), func(string) bool { return r.IntN(2) == 0 })
	if len(out) == 0 {
		return []string{pick(r, of...)}
	}
	return out
}

func (w *randomWard) Len() int { return len(w.actors) }
func (w *randomWard) Less(i, j int) bool {
	a, b := w.actors[i], w.actors[j]
	if order := a.next().Compare(b.next()); order != 0 {
		return order < 0
	}
	return a.n < b.n
}
func (w *randomWard) Swap(i, j int) {
	w.actors[i], w.actors[j] = w.actors[j], w.actors[i]
	w.actors[i].slot, w.actors[j].slot = i, j
}
func (w *randomWard) Push(any) { panic("ward: all actors are there from the start") }
func (w *randomWard) Pop() any { panic("ward: no actor ever leaves") }
