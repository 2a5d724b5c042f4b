package fhir

import (
	"slices"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// over closes what was so at one moment and no longer is. A Task of something due is
// completed by the entry that did it, or cancelled where none did; a Flag becomes
// inactive. Neither was an error. What a closed one says follows from the record alone,
// never from when a receiver asked.
func (d *Export) over(r *r4.Resource, w handover.Ward, since time.Time, ask Ask) (*r4.Resource, error) {
	b := &builder{policy: w.Policy}
	end := endingOf(r, w, since, ask)
	r, err := d.lastTold(r, w, since, end, ask)
	if err != nil {
		return nil, err
	}
	switch m := r.Model.Body.(type) {
	case *models.Task:
		r.Model.Status = r4.Cancelled
		m.StatusReason, m.LastModified = nil, r4.Ptr(laterOf(*m.LastModified, b.stamp(end.seen)))
		if e := doneBy(r, w, end.last, earlier(end.seen, ask.At), earlier(end.seen, ask.Known)); e != nil {
			charted, _ := version(e)
			r.Model.Status = r4.Completed
			m.ExecutionPeriod = &models.Period{End: r4.Ptr(r4.DateTime(e.At))}
			m.LastModified = r4.Ptr(laterOf(*m.AuthoredOn, r4.DateTime(charted)))
		}
	case *models.Flag:
		r.Model.Status = r4.Inactive
		m.Period.End = r4.Ptr(laterOf(*m.Period.Start, b.stamp(end.at)))
	}
	return r, r.Encode(w.Policy)
}

// ending is when something that was told ceased to be so.
type ending struct {
	last time.Time // it was so still, by what had happened and was written down
	seen time.Time // it was not, by the same
	at   time.Time // since when not, as was known then
}

// endingOf finds the last time after since at which it ceased to be so.
func endingOf(r *r4.Resource, w handover.Ward, since time.Time, ask Ask) ending {
	w = concerned(r, w)
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
	so := func(at, known time.Time) bool { return isSo(r, w, earlier(at, ask.At), earlier(known, ask.Known)) }

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

// passed is when time alone ended what was so, between two moments at which nothing
// happened and nothing was charted.
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
func concerned(r *r4.Resource, w handover.Ward) handover.Ward {
	own := handover.Ward{Policy: w.Policy}
	for _, e := range w.Entries {
		if e.Infant == "" || e.Infant == r.Infant || e.Infant == r.Other {
			own.Entries = append(own.Entries, e)
		}
	}
	return own
}

// isSo says whether it was so at a moment, as known.
func isSo(r *r4.Resource, w handover.Ward, at, known time.Time) bool {
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

// lastTold is the resource as it was before it ended: a receiver that asked in between
// holds that one.
func (d *Export) lastTold(r *r4.Resource, w handover.Ward, since time.Time, end ending, ask Ask) (*r4.Resource, error) {
	if end.last.Equal(since) {
		return r, nil
	}
	x, err := New(concerned(r, w), Ask{At: earlier(end.last, ask.At), Known: earlier(end.last, ask.Known), Infant: r.Infant,
		Codes: ask.Codes, all: true})
	if err != nil {
		return nil, err
	}
	last := x.pool[r.Key()]
	if last == nil {
		return r, nil
	}
	for _, s := range last.Refs {
		if d.pool[string(last.JSON[s.Start:s.End])] == nil { // a device that has been withdrawn since
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

// doneBy is the last entry that does what was due and that, while it was due, had not
// happened or was not known. Nil for none.
func doneBy(r *r4.Resource, w handover.Ward, since, at, known time.Time) (done *entry.Standing) {
	var own []*entry.Entry
	for _, e := range w.Entries {
		if e.Infant == r.Infant {
			own = append(own, e)
		}
	}
	for _, record := range entry.Replay(own, known).Infants {
		for _, e := range record.Entries {
			charted, _ := version(e)
			if doing[r.What](e, w.Policy) && (r.Care == "" || e.Text("what") == r.Care) && !e.At.After(at) &&
				(e.At.After(since) || charted.After(since)) {
				done = e
			}
		}
	}
	return done
}

// doing says which entries do what falls due.
var doing = map[string]func(*entry.Standing, *handover.Policy) bool{
	"rotation": func(e *entry.Standing, _ *handover.Policy) bool {
		return e.Kind == "interface" && e.Text("type") != "off"
	},
	"skin":   func(e *entry.Standing, _ *handover.Policy) bool { return e.Kind == "skin" },
	"bonnet": headOrBonnet,
	"head":   headOrBonnet,
	"observations": func(e *entry.Standing, _ *handover.Policy) bool {
		return e.Kind == "observations" && (e.Has("spo2Percent") || e.Has("heartRateBpm") || e.Has("respRateBpm"))
	},
	"tube": func(e *entry.Standing, _ *handover.Policy) bool {
		return e.Kind == "tube" && !ends[e.Text("action")]
	},
	"circuit": func(e *entry.Standing, _ *handover.Policy) bool {
		return e.Kind == "circuit" && e.Text("action") == "fitted"
	},
	"oxygen-sensor": func(e *entry.Standing, _ *handover.Policy) bool { return e.Kind == "calibration" },
	"water": func(e *entry.Standing, _ *handover.Policy) bool {
		return e.Kind == "humidifier" && e.Text("water") == "changed"
	},
	"humidifier": func(e *entry.Standing, _ *handover.Policy) bool {
		return e.Kind == "humidifier" && (e.Has("chamberC") || e.Has("water"))
	},
	"safety": wholeCheck,
	"care":   func(e *entry.Standing, _ *handover.Policy) bool { return e.Kind == "care" },
}

var ends = map[string]bool{"removed": true, "none": true}

func headOrBonnet(e *entry.Standing, _ *handover.Policy) bool {
	return e.Kind == "head" || e.Kind == "bonnet" && !ends[e.Text("action")]
}

// wholeCheck says whether a safety check went through the unit's whole list.
func wholeCheck(e *entry.Standing, p *handover.Policy) bool {
	return e.Kind == "safety" && !slices.ContainsFunc(p.Checks, func(item string) bool {
		return !slices.ContainsFunc(e.List("items"), func(x entry.Value) bool { return x.Field("item").Text == item })
	})
}
