package fhir

import (
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// An export tells what was so in the while before it and no longer is, closed: whoever
// was told of it at some moment of that while is told of its end. A Task of something due
// is completed by the entry that did it, or cancelled where none did; a Flag becomes
// inactive. Neither was an error. What a closed one says follows from the record alone,
// never from when a receiver asked.

// remembers says whether what was so is told. A document tells what is.
func (b *builder) remembers() bool { return !b.ask.whole && !b.ask.ever }

// window is since when what was so is told.
func (b *builder) window() time.Time {
	if !b.ask.from.IsZero() {
		return b.ask.from
	}
	return b.ask.At.Add(-b.policy.FHIR.Left)
}

// overIn adds what was so in a stay.
func (i *infant) overIn(stay *entry.Stay) {
	if !i.remembers() {
		return
	}
	if i.sends("Task") {
		for _, d := range i.wasDue() {
			if i.stayAt(d.Last) == stay {
				i.wasDueIn(d)
			}
		}
	}
	if i.sends("Flag") {
		for _, x := range i.over[i.record.Infant] {
			if i.stayAt(x.Last) == stay {
				i.wasTogether(x)
			}
		}
	}
}

// stayAt is the stay that something was so in, of those that are told of.
func (i *infant) stayAt(t time.Time) *entry.Stay {
	var found *entry.Stay
	for n, stay := range i.stays {
		if n < len(i.stays)-1 && !i.lately(stay) {
			continue
		}
		if found == nil || !stay.Admission.At.After(t) {
			found = stay
		}
	}
	return found
}

func (i *infant) wasDue() []handover.WasDue {
	if i.course == nil {
		i.course = handover.NewCourse(i.policy, i.record.Infant, i.builder.entries[i.record.Infant])
		i.dueOnce = i.course.WasDue(i.window(), i.ask.At, i.ask.Known)
	}
	return i.dueOnce
}

func (i *infant) wasDueIn(d handover.WasDue) {
	r := i.dueTask(d.Due, i.care.aboutAt(d.What, d.Last))
	m := r.Model.Body.(*models.Task)
	seen := i.stamp(d.Seen.Truncate(time.Microsecond)) // receivers keep no finer moment
	r.Model.Status, m.StatusReason, m.LastModified = r4.Cancelled, nil, r4.Ptr(laterOf(*m.AuthoredOn, seen))
	if e := i.doneBy(d); e != nil {
		charted, _ := version(e)
		r.Model.Status = r4.Completed
		m.ExecutionPeriod = &models.Period{End: r4.Ptr(r4.DateTime(e.At))}
		m.LastModified = r4.Ptr(laterOf(*m.AuthoredOn, r4.DateTime(charted)))
	}
	i.now = append(i.now, r)
}

// doneBy is the last entry that does what was due and that, while it was due, had not
// happened or was not known. Nil for none.
func (i *infant) doneBy(d handover.WasDue) (done *entry.Standing) {
	at := earlier(d.Seen, i.ask.At)
	for e := range i.course.Known(earlier(d.Seen, i.ask.Known)) {
		charted, _ := version(e)
		if i.policy.Does(e, d.What, d.Care) && !e.At.After(at) &&
			(e.At.After(d.Last) || charted.After(d.Last)) {
			done = e
		}
	}
	return done
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}
