package fhir

import (
	"slices"
	"strings"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// Intents of a Task, of R4 request-intent: the models have a plain string.
const (
	intentPlan  = "plan"  // due by the engine's reckoning
	intentOrder = "order" // charted by a person
)

// task is what one Task says.
type task struct {
	status, intent, about string
	code                  *models.CodeableConcept
	focus                 *device
	made, changed         string // dateTimes
	from, until           string // when it is to be done, and from when it is overdue
	waits                 string // why it is deferred, or was ended
	done                  string // when it was done
	by                    string
}

func (i *infant) task(id string, known r4.Identifier, kind, entry string, t task) *r4.Resource {
	m := &models.Task{Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)}, Intent: t.intent, Code: t.code,
		Description: r4.Some(t.about), For: i.subject, Encounter: i.stay, AuthoredOn: &t.made, LastModified: &t.changed}
	if t.focus != nil {
		m.Focus = i.refer(t.focus)
	}
	if t.from != "" || t.until != "" {
		m.Restriction = &models.TaskRestriction{Period: &models.Period{Start: r4.Some(t.from), End: r4.Some(t.until)}}
	}
	if t.done != "" {
		m.ExecutionPeriod = &models.Period{End: &t.done}
	}
	if t.waits != "" {
		m.StatusReason = r4.Texted(t.waits)
	}
	if t.by != "" {
		m.Requester = i.staff(t.by)
	}
	return &r4.Resource{Type: "Task", ID: id, Infant: i.record.Infant, Identifier: known, Kind: kind, Entry: entry,
		Model: &r4.Model{Kind: "Task", ID: id, Status: t.status, Body: m}}
}

// due adds what is due, overdue or deferred at the moment asked for, but for charted
// tasks, which are there already. Each is named by what it is and by when it fell due:
// once it is done, the next one is another Task. A reader sees that it is overdue by
// the end of its period.
func (i *infant) due(s *handover.Summary) {
	for _, d := range s.Due {
		if d.Task != "" {
			continue
		}
		i.now = append(i.now, i.dueTask(d, i.care.about(d.What)))
	}
}

func (i *infant) dueTask(d handover.Due, focus *device) *r4.Resource {
	from := dueFrom(i.policy, d)
	id := r4.IDOfDue(i.policy, i.record.Infant, d.What, d.Care, from)
	t := task{status: r4.Requested, intent: intentPlan, code: i.dueCode(d.What, d.Care), focus: focus,
		made: i.stamp(from), changed: i.stamp(from), from: i.stamp(from)}
	if d.OverdueAt.After(from) {
		t.until = i.stamp(d.OverdueAt)
	}
	if d.State == "deferred" {
		t.waits = i.deferred(d)
	} else {
		t.about = d.Why
	}
	if d.Every != "" {
		t.about = strings.TrimPrefix(t.about+", every "+d.Every, ", ")
	}
	return i.task(id, i.builder.own(id), "due", "", t)
}

func dueFrom(p *handover.Policy, d handover.Due) time.Time {
	if d.On.IsZero() {
		return d.At
	}
	return d.On.Start(p.Zone)
}

func (i *infant) deferred(d handover.Due) string {
	return "deferred until " + i.stamp(d.Until) + ": " + d.Why
}

// dueCode is what is to be done; of cares, which.
func (i *infant) dueCode(what, care string) *models.CodeableConcept {
	c := i.codes.Concept(r4.Dues[what])
	if care == "" {
		return c
	}
	return both(c, i.codes.Care(care))
}

// both is a concept that another one says more of.
func both(c, more *models.CodeableConcept) *models.CodeableConcept {
	return &models.CodeableConcept{Coding: slices.Concat(c.Coding, more.Coding), Text: r4.Ptr(r4.Pair(*c.Text, *more.Text))}
}

// about is the device that something due is about, nil where it is of none.
func (u *inUse) about(what string) *device {
	if w := u.wornFor(what); w != nil {
		return w.there
	}
	return nil
}

// aboutAt is the one that it was about at a moment, as is known now.
func (u *inUse) aboutAt(what string, at time.Time) (found *device) {
	if w := u.wornFor(what); w != nil {
		for _, p := range w.periods {
			if !p.began.At.After(at) {
				found = p.device
			}
		}
	}
	return found
}

func (u *inUse) wornFor(what string) *worn {
	switch what {
	case "rotation":
		return &u.face
	case "bonnet":
		return &u.bonnet
	case "tube":
		return u.tube["feeding"]
	case "circuit", "water", "humidifier":
		return &u.circuit
	case "oxygen-sensor":
		return &u.driver
	}
	return nil
}

// tasks adds the tasks and plans that were charted in a stay. Discharge ends what is
// open. A plan ends with its time, or when the next plan for the same thing begins.
func (i *infant) tasks(stay *entry.Stay, s *handover.Summary) {
	for n, e := range i.entries {
		switch e.Kind {
		case "task":
			i.chartedAs(e, "task", i.chartedTask(e, stay, s))
		case "plan":
			if e.Text("every") != "policy" {
				i.chartedAs(e, "plan", i.chartedPlan(e, i.entries[n+1:], stay))
			}
		}
	}
}

func (i *infant) chartedAs(e *entry.Standing, role string, t task) {
	charted, by := i.version(e)
	t.intent, t.made, t.by = intentOrder, r4.DateTime(e.Charted), by
	if last := e.Charted.Time; t.changed == "" || charted.After(last) {
		t.changed = laterOf(r4.DateTime(charted), t.changed)
	}
	t.changed = laterOf(t.made, t.changed)
	r := i.task(i.idOf(e, role), i.builder.own(e.ID+"."+role), role, e.ID, t)
	r.Model.Body.(*models.Task).Note = i.why(e)
	i.facts = append(i.facts, r)
}

func (i *infant) chartedTask(e *entry.Standing, stay *entry.Stay, s *handover.Summary) task {
	t := task{status: r4.Requested, code: i.codes.Concept(r4.TaskCharted), about: e.Text("text")}
	if m, ok := e.Moment("dueAt"); ok {
		t.from = r4.DateTime(m)
	}
	for _, x := range i.entries {
		if x.Kind == "task-done" && x.Reference("task") == e.ID {
			charted, _ := version(x)
			t.status, t.done, t.changed = r4.Completed, r4.DateTime(x.At), r4.DateTime(charted)
			return t
		}
	}
	for _, x := range i.record.Withdrawn {
		if all := i.amended[x.ID]; x.Kind == "task-done" && x.Reference("task") == e.ID {
			t.changed = laterOf(t.changed, r4.DateTime(all[len(all)-1].Charted)) // it had been completed
		}
	}
	if i.ended(&t, stay) || s == nil {
		return t
	}
	for _, d := range s.Due {
		if d.Task != e.ID {
			continue
		}
		t.until = i.stamp(d.OverdueAt)
		if d.State == "deferred" {
			t.waits = i.deferred(d)
		}
	}
	return t
}

// ended says whether discharge ended it.
func (i *infant) ended(t *task, stay *entry.Stay) bool {
	if stay.Discharge == nil {
		return false
	}
	charted, _ := version(stay.Discharge)
	t.status, t.waits, t.changed = r4.Cancelled, "discharged", r4.DateTime(charted)
	return true
}

func (i *infant) chartedPlan(e *entry.Standing, after []*entry.Standing, stay *entry.Stay) task {
	t := task{status: r4.Requested, code: both(i.codes.Concept(r4.PlanCharted), i.dueCode(e.Text("what"), e.Text("care"))),
		from: r4.DateTime(e.At)}
	t.about = "every " + e.Text("every") + ": " + e.Text("reason")
	until, bounded := e.Moment("until")
	if bounded && !until.Before(e.At.Time) {
		t.until = r4.DateTime(until)
	}
	for _, x := range after {
		if x.Kind == "plan" && x.Text("what") == e.Text("what") && x.Text("care") == e.Text("care") {
			charted, _ := version(x)
			t.status, t.waits, t.changed = r4.Cancelled, "another plan was charted", r4.DateTime(charted)
			return t
		}
	}
	if bounded && i.ask.At.After(until.Time) {
		t.status = r4.Completed
		return t
	}
	i.ended(&t, stay)
	return t
}

// laterOf is the later of two moments as they are written; either may be empty.
func laterOf(a, b string) string {
	x, errX := time.Parse(time.RFC3339Nano, a)
	y, errY := time.Parse(time.RFC3339Nano, b)
	if errX != nil || errY == nil && y.After(x) {
		return b
	}
	return a
}
