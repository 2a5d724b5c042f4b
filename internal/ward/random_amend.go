package ward

import "time"

// amended charts something, and now and then what follows when it was wrong: corrections, a retraction of the entry or
// of a correction, or the same thing charted on the twin. make yields new fields each time it is called.
func (l *life) amended(t time.Time, make func() fields) {
	e := l.chart(t, make())
	switch x := l.r.Float64(); {
	case x < 0.012:
		l.correct(e, make)
	case x < 0.020:
		seen := l.within(later(e.charted, t), 5, 400)
		l.amend(seen, retraction{Of: e.id, Reason: "charted by mistake"})
	case x < 0.026 && l.twin != nil && l.twin.in && !t.Before(l.twin.since):
		seen := l.within(later(e.charted, t), 5, 90)
		anew := l.twin.chart(t, e.fields)
		l.amend(seen, retraction{Of: e.id, Reason: "that was the twin", MovedTo: anew.id})
	}
}

// correct corrects an entry up to three times; two corrections may carry the same moment. One correction may then be
// taken back, or the entry with all its corrections.
func (l *life) correct(e entry, make func() fields) {
	seen := later(e.charted, e.at)
	var last entry
	for range pick(l.r, 1, 1, 1, 2, 3) {
		seen = l.within(seen, pick(l.r, 0, 5, 30), 60)
		at := e.at
		if l.chance(0.15) && at.Add(-minutes(3)).After(l.since) {
			at = at.Add(-minutes(3))
		}
		last = l.amend(seen, correction{Of: e.id, Reason: "mistyped", Entry: restated(at, make())})
	}
	switch {
	case l.chance(0.2):
		l.amend(l.within(seen, 1, 60), retraction{Of: last.id, Reason: "the first was right"})
	case l.chance(0.1):
		l.amend(l.within(seen, 1, 60), retraction{Of: e.id, Reason: "charted by mistake"})
	}
}

// amend charts a correction or retraction at the moment it is written. It may come after the stay.
func (l *life) amend(t time.Time, f fields) entry {
	e := entry{id: newID(l.r), infant: l.key, at: t, charted: t, by: l.bay.nurse(t), fields: f}
	l.queue(e)
	return e
}
