package fhir

import (
	"slices"
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

// over ends what was so at one moment and is so no more: a Task of something due is
// completed by the entry that did it, or cancelled where none did; a Flag becomes
// inactive. Neither was an error. What it says is of the record alone, never of when
// a receiver asked.
func (d *Export) over(r *Resource, w handover.Ward, since time.Time, ask Ask) (*Resource, error) {
	b := &builder{policy: w.Policy}
	end := r.ending(w, since, ask)
	r, err := d.lastTold(r, w, since, end, ask)
	if err != nil {
		return nil, err
	}
	switch m := r.model.body.(type) {
	case *r4.Task:
		r.model.status = cancelled
		m.StatusReason, m.LastModified = nil, ptr(laterOf(*m.LastModified, b.stamp(end.seen)))
		if e := r.doneBy(w, end.last, earlier(end.seen, ask.At), earlier(end.seen, ask.Known)); e != nil {
			charted, _ := version(e)
			r.model.status = completed
			m.ExecutionPeriod = &r4.Period{End: ptr(dateTime(e.At))}
			m.LastModified = ptr(laterOf(*m.AuthoredOn, dateTime(charted)))
		}
	case *r4.Flag:
		r.model.status = inactive
		m.Period.End = ptr(laterOf(*m.Period.Start, b.stamp(end.at)))
	}
	return r, r.encode(w.Policy)
}

// ending is when something that was told was so no more.
type ending struct {
	last time.Time // it was so still, by what had happened and was written down
	seen time.Time // it was not, by the same
	at   time.Time // since when not, as was known then
}

// ending finds the last time, after since, that it came to be so no more.
func (r *Resource) ending(w handover.Ward, since time.Time, ask Ask) ending {
	w = r.concerned(w)
	until := ask.At
	if ask.Known.After(until) {
		until = ask.Known
	}
	moments := []time.Time{until}
	for _, e := range w.Entries {
		for _, t := range []time.Time{e.Charted.Time, versionOf(e).At.Time} {
			if t.After(since) && t.Before(until) {
				moments = append(moments, t)
			}
		}
	}
	slices.SortFunc(moments, time.Time.Compare)
	moments = slices.CompactFunc(moments, time.Time.Equal)
	so := func(at, known time.Time) bool { return r.so(w, earlier(at, ask.At), earlier(known, ask.Known)) }

	end := ending{last: since, seen: until}
	for _, t := range slices.Backward(moments) {
		if so(t, t) {
			end.last = t
			break
		}
		end.seen = t
	}
	if before := end.seen.Add(-1); before.After(end.last) && !so(before, before) {
		end.seen = passed(end.last, before, so)
	}
	end.at = end.seen
	for _, e := range w.Entries { // what was charted late had ended it before
		t := versionOf(e).At.Time
		late := e.Kind != "retraction" && e.Charted.Equal(end.seen) && t.Before(end.seen)
		if late && (end.at.Equal(end.seen) || t.After(end.at)) && !so(t, end.seen) && so(t.Add(-1), end.seen) {
			end.at = t
		}
	}
	return end
}

// passed is when time alone ended what was so, between two moments in which nothing
// was charted and nothing happened.
func passed(last, seen time.Time, so func(at, known time.Time) bool) time.Time {
	for seen.Sub(last) > 1 {
		if t := last.Add(seen.Sub(last) / 2); so(t, t) {
			last = t
		} else {
			seen = t
		}
	}
	return seen.Truncate(time.Microsecond)
}

// concerned is the ward without the infants whom it does not concern.
func (r *Resource) concerned(w handover.Ward) handover.Ward {
	own := handover.Ward{Policy: w.Policy}
	for _, e := range w.Entries {
		if e.Infant == "" || e.Infant == r.Infant || e.Infant == r.other {
			own.Entries = append(own.Entries, e)
		}
	}
	return own
}

// so says whether it was so at a moment, as known.
func (r *Resource) so(w handover.Ward, at, known time.Time) bool {
	for _, s := range handover.Compile(w, at, known, at).Infants {
		if s.Infant != r.Infant {
			continue
		}
		for _, d := range s.Due {
			if d.Task == "" && dueID(w.Policy, s.Infant, d) == r.ID {
				return true
			}
		}
		for _, x := range s.LookAlikes {
			if flagID(w.Policy, s.Infant, lookAlike, x.Infant) == r.ID {
				return true
			}
		}
		for _, x := range s.Conflicts {
			if flagID(w.Policy, s.Infant, conflict+x.What, x.Infant) == r.ID {
				return true
			}
		}
	}
	return false
}

// lastTold is it as it was before it ended: whoever asked in between holds that.
func (d *Export) lastTold(r *Resource, w handover.Ward, since time.Time, end ending, ask Ask) (*Resource, error) {
	if end.last.Equal(since) {
		return r, nil
	}
	x, err := New(r.concerned(w), Ask{At: earlier(end.last, ask.At), Known: earlier(end.last, ask.Known), Infant: r.Infant, Codes: ask.Codes, all: true})
	if err != nil {
		return nil, err
	}
	last := x.pool[r.key()]
	if last == nil {
		return r, nil
	}
	for _, s := range last.refs {
		if d.pool[string(last.JSON[s.start:s.end])] == nil { // a device that has been withdrawn since
			return r, nil
		}
	}
	return last, nil
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

// doneBy is the last entry that does what was due, and that was not known or had
// not happened while it was due; nil for none.
func (r *Resource) doneBy(w handover.Ward, since, at, known time.Time) (done *entry.Standing) {
	var own []*entry.Entry
	for _, e := range w.Entries {
		if e.Infant == r.Infant {
			own = append(own, e)
		}
	}
	for _, record := range entry.Replay(own, known).Infants {
		for _, e := range record.Entries {
			charted, _ := version(e)
			if doing[r.what](e) && (r.care == "" || e.Text("what") == r.care) && !e.At.After(at) && (e.At.After(since) || charted.After(since)) {
				done = e
			}
		}
	}
	return done
}

// doing says which entries do what falls due.
var doing = map[string]func(*entry.Standing) bool{
	"rotation": func(e *entry.Standing) bool { return e.Kind == "interface" && e.Text("type") != "off" },
	"skin":     func(e *entry.Standing) bool { return e.Kind == "skin" },
	"bonnet":   headOrBonnet,
	"head":     headOrBonnet,
	"observations": func(e *entry.Standing) bool {
		return e.Kind == "observations" && (e.Has("spo2Percent") || e.Has("heartRateBpm") || e.Has("respRateBpm"))
	},
	"tube":          func(e *entry.Standing) bool { return e.Kind == "tube" && !ends[e.Text("action")] },
	"circuit":       func(e *entry.Standing) bool { return e.Kind == "circuit" && e.Text("action") == "fitted" },
	"oxygen-sensor": func(e *entry.Standing) bool { return e.Kind == "calibration" },
	"water":         func(e *entry.Standing) bool { return e.Kind == "humidifier" && e.Text("water") == "changed" },
	"care":          func(e *entry.Standing) bool { return e.Kind == "care" },
}

var ends = map[string]bool{"removed": true, "none": true}

func headOrBonnet(e *entry.Standing) bool {
	return e.Kind == "head" || e.Kind == "bonnet" && !ends[e.Text("action")]
}
