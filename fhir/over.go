package fhir

import (
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// over ends what was so at one moment and is so no more: a Task of something due is
// completed by the entry that did it, or cancelled where none did; a Flag becomes
// inactive. Neither was an error.
func (r *Resource) over(w handover.Ward, since, at, known time.Time) error {
	b := &builder{policy: w.Policy}
	switch m := r.model.body.(type) {
	case *r4.Task:
		r.model.status = cancelled
		m.StatusReason, m.LastModified = nil, ptr(laterOf(*m.LastModified, b.stamp(at)))
		if e := r.doneBy(w, since, at, known); e != nil {
			charted, _ := version(e)
			r.model.status = completed
			m.ExecutionPeriod = &r4.Period{End: ptr(dateTime(e.At))}
			m.LastModified = ptr(laterOf(*m.AuthoredOn, dateTime(charted)))
		}
	case *r4.Flag:
		r.model.status = inactive
		m.Period.End = ptr(laterOf(*m.Period.Start, b.stamp(at)))
	}
	return r.encode(w.Policy)
}

// doneBy is the last entry that does what was due, and that was not known or had
// not happened at since; nil for none.
func (r *Resource) doneBy(w handover.Ward, since, at, known time.Time) (done *handover.Standing) {
	var own []*handover.Entry
	for _, e := range w.Entries {
		if e.Infant == r.Infant {
			own = append(own, e)
		}
	}
	for _, record := range handover.Replay(own, known).Infants {
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
var doing = map[string]func(*handover.Standing) bool{
	"rotation": func(e *handover.Standing) bool { return e.Kind == "interface" && e.Text("type") != "off" },
	"skin":     func(e *handover.Standing) bool { return e.Kind == "skin" },
	"bonnet":   headOrBonnet,
	"head":     headOrBonnet,
	"observations": func(e *handover.Standing) bool {
		return e.Kind == "observations" && (e.Has("spo2Percent") || e.Has("heartRateBpm") || e.Has("respRateBpm"))
	},
	"tube":          func(e *handover.Standing) bool { return e.Kind == "tube" && !ends[e.Text("action")] },
	"circuit":       func(e *handover.Standing) bool { return e.Kind == "circuit" && e.Text("action") == "fitted" },
	"oxygen-sensor": func(e *handover.Standing) bool { return e.Kind == "calibration" },
	"water":         func(e *handover.Standing) bool { return e.Kind == "humidifier" && e.Text("water") == "changed" },
	"care":          func(e *handover.Standing) bool { return e.Kind == "care" },
}

var ends = map[string]bool{"removed": true, "none": true}

func headOrBonnet(e *handover.Standing) bool {
	return e.Kind == "head" || e.Kind == "bonnet" && !ends[e.Text("action")]
}
