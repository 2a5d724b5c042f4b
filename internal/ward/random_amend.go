package ward

import "time"

// amended charts something, and now and then what comes of it when it was wrong: a correction or several, a retraction
// of the entry or of a correction, or the same anew on the twin. make yields the fields, other ones each time.
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

// correct corrects an entry up to three times; two may carry the same moment. One of them may be taken back, or in the
// end the entry with all of them.
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
