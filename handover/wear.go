package handover

import (
	"time"

	"github.com/cockroachdb/apd/v3"

	"cotline/handover/entry"
)

// Wear is a period in which an interface of one type and size was on the face.
// The end of a spell of support ends it; what stays on goes on, as another
// period, with the next spell. A break in a spell ends nothing.
type Wear struct {
	Type   string
	Size   Maybe[string]
	From   time.Time
	Until  time.Time     // zero while it lasts
	Ended  string        // another, off, stopped (of support), discharge; empty while it lasts
	Hours  entry.Decimal // within spells, breaks left out, up to the moment; 2 decimals
	Reason string        // as charted when it was put on
	Source               // of the entry that put it on
}

// Wears are the wear periods of an infant's stay as it stands at a moment, in
// order. Nothing charted is no period; nor is the time between two spells.
func Wears(p *Policy, record *entry.Record, stay *entry.Stay, at time.Time) []Wear {
	r := newReading(p, record, stay, at)
	wears := r.wears()
	var out []Wear
	for i, w := range wears {
		if w.typ == "off" {
			continue
		}
		ended := ""
		switch {
		case !w.to.IsZero() && wears[i+1].typ == "off":
			ended = "off"
		case !w.to.IsZero():
			ended = "another"
		case stay.Discharge != nil && !stay.Discharge.At.After(at):
			w.to, ended = stay.Discharge.At.Time, "discharge"
		}
		out = r.appendWears(out, w, ended)
	}
	return out
}

// appendWears cuts a stretch at the ends of spells.
func (r *reading) appendWears(out []Wear, w worn, ended string) []Wear {
	before := func(t time.Time) bool { return w.to.IsZero() || t.Before(w.to) }
	for i, s := range r.spells {
		if s.end.IsZero() || !s.end.After(w.from) || !before(s.end) {
			continue
		}
		out = append(out, r.wear(w, s.end, "stopped"))
		if i+1 == len(r.spells) || !before(r.spells[i+1].start) {
			return out
		}
		w.from = r.spells[i+1].start
	}
	return append(out, r.wear(w, w.to, ended))
}

func (r *reading) wear(w worn, until time.Time, ended string) Wear {
	to := until
	if to.IsZero() {
		to = r.at
	}
	return Wear{Type: w.typ, Size: knownIf(w.size, w.sized), From: w.from, Until: until, Ended: ended,
		Hours: hoursOf(r.spellTime(w.from, to)), Reason: w.entry.Text("reason"), Source: r.source(w.entry)}
}

// hoursOf is a time in hours, to 2 decimals.
func hoursOf(d time.Duration) entry.Decimal {
	return entry.Rounded(entry.Quo(apd.New(d.Nanoseconds(), 0), apd.New(time.Hour.Nanoseconds(), 0)), 2)
}

// wears are the stretches of the stay without another type, size or off. A size
// left out on the same type is as it was.
func (r *reading) wears() []worn {
	if r.worn == nil {
		r.worn = readWorn(r.own["interface"])
	}
	return r.worn
}

func readWorn(entries []*entry.Standing) []worn {
	out := make([]worn, 0, len(entries))
	for _, e := range entries {
		w := worn{typ: e.Text("type"), size: e.Text("size"), sized: e.Has("size"), from: e.At.Time, entry: e}
		if n := len(out); n > 0 {
			last := &out[n-1]
			if n > 1 && last.typ == "off" && out[n-2].typ == w.typ && !w.sized {
				w.size, w.sized = out[n-2].size, out[n-2].sized // as it was before it was off
			}
			if last.typ == w.typ && (!w.sized || last.sized && last.size == w.size || w.typ == "off") {
				continue
			}
			last.to = w.from
		}
		out = append(out, w)
	}
	return out
}

// spellTime is how much of [from, to) lies within spells.
func (r *reading) spellTime(from, to time.Time) time.Duration {
	var total time.Duration
	for _, s := range r.spells {
		if !s.end.IsZero() && !s.end.After(from) {
			continue
		}
		for _, part := range s.stretches(r.at) {
			start, end := latestOf(part.from, from), part.to
			if to.Before(end) {
				end = to
			}
			if end.After(start) {
				total += end.Sub(start)
			}
		}
	}
	return total
}
