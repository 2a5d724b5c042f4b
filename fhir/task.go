package fhir

import (
	"strings"
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

// Intents of a Task, of R4 request-intent: the models have a plain string.
const (
	intentPlan  = "plan"  // due by the engine's reckoning
	intentOrder = "order" // charted by a person
)

// task is what one Task says.
type task struct {
	status, intent, about string
	code                  *r4.CodeableConcept
	focus                 *device
	made, changed         string // dateTimes
	from, until           string // when it is to be done, and from when it is overdue
	waits                 string // why it is deferred, or was ended
	done                  string // when it was done
	by                    string
}

func (i *infant) task(id string, known Identifier, kind, entry string, t task) *Resource {
	m := &r4.Task{Identifier: []r4.Identifier{*identifier(known.System, known.Value)}, Intent: t.intent, Code: t.code,
		Description: some(t.about), For: i.subject, AuthoredOn: &t.made, LastModified: &t.changed}
	if t.focus != nil {
		m.Focus = i.refer(t.focus)
	}
	if t.from != "" || t.until != "" {
		m.Restriction = &r4.TaskRestriction{Period: &r4.Period{Start: some(t.from), End: some(t.until)}}
	}
	if t.done != "" {
		m.ExecutionPeriod = &r4.Period{End: &t.done}
	}
	if t.waits != "" {
		m.StatusReason = texted(t.waits)
	}
	if t.by != "" {
		m.Requester = i.staff(t.by)
	}
	return &Resource{Type: "Task", ID: id, Infant: i.record.Infant, Identifier: known, kind: kind, entry: entry,
		model: &resource{kind: "Task", id: id, status: t.status, body: m}}
}

// due adds what is due, overdue or deferred at the moment asked for, but charted
// tasks, which are there already. Each is named by what it is and when it fell due:
// once done, the next one is another. That it is overdue is for the reader to see by
// the end of its period.
func (i *infant) due(s *handover.Summary) {
	for _, d := range s.Due {
		if d.Task != "" {
			continue
		}
		from, id := dueFrom(i.policy, d), dueID(i.policy, i.record.Infant, d)
		t := task{status: requested, intent: intentPlan, code: i.dueCode(d.What, d.Care), focus: i.care.about(d.What),
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
		r := i.task(id, i.builder.own(id), "due", "", t)
		r.what, r.care = d.What, d.Care
		i.now = append(i.now, r)
	}
}

func dueFrom(p *handover.Policy, d handover.Due) time.Time {
	if d.On.IsZero() {
		return d.At
	}
	return d.On.Start(p.Zone)
}

func dueID(p *handover.Policy, infant string, d handover.Due) string {
	name := strings.Join([]string{"Task", d.What, d.Care, dueFrom(p, d).UTC().Format(time.RFC3339Nano)}, "\n")
	return named(ofInfant(p, infant), name).String()
}

func (i *infant) deferred(d handover.Due) string {
	return "deferred until " + i.stamp(d.Until) + ": " + d.Why
}

// dueCode is what is to be done; of cares, which.
func (i *infant) dueCode(what, care string) *r4.CodeableConcept {
	c := i.codes.concept(dues[what])
	if care != "" {
		more := i.codes.concept(cares[care])
		c.Coding = append(c.Coding, more.Coding...)
		c.Text = ptr(pair(*c.Text, *more.Text))
	}
	return c
}

// about is the device that something due is about, nil where it is of none.
func (u *inUse) about(what string) *device {
	switch what {
	case "rotation":
		return u.face.there
	case "bonnet":
		return u.bonnet.there
	case "tube":
		return u.tube["feeding"].there
	case "circuit", "water":
		return u.circuit.there
	case "oxygen-sensor":
		return u.driver.there
	}
	return nil
}

// tasks adds the tasks and plans that were charted in a stay. Discharge ends what
// is open; a plan is over when its time is, and gives way to the next of its thing.
func (i *infant) tasks(stay *entry.Stay, s *handover.Summary) {
	for n, e := range i.entries {
		switch e.Kind {
		case "task":
			i.charted(e, "task", i.chartedTask(e, stay, s))
		case "plan":
			if e.Text("every") != "policy" {
				i.charted(e, "plan", i.chartedPlan(e, i.entries[n+1:], stay))
			}
		}
	}
}

func (i *infant) charted(e *entry.Standing, role string, t task) {
	charted, by := i.version(e)
	t.intent, t.made, t.by = intentOrder, dateTime(e.Charted), by
	if last := e.Charted.Time; t.changed == "" || charted.After(last) {
		t.changed = laterOf(dateTime(charted), t.changed)
	}
	t.changed = laterOf(t.made, t.changed)
	r := i.task(i.idOf(e, role), i.builder.own(e.ID+"."+role), role, e.ID, t)
	r.model.body.(*r4.Task).Note = i.why(e)
	i.facts = append(i.facts, r)
}

func (i *infant) chartedTask(e *entry.Standing, stay *entry.Stay, s *handover.Summary) task {
	t := task{status: requested, code: i.codes.concept(taskCharted), about: e.Text("text")}
	if m, ok := e.Moment("dueAt"); ok {
		t.from = dateTime(m)
	}
	for _, x := range i.entries {
		if x.Kind == "task-done" && x.Reference("task") == e.ID {
			charted, _ := version(x)
			t.status, t.done, t.changed = completed, dateTime(x.At), dateTime(charted)
			return t
		}
	}
	for _, x := range i.record.Withdrawn {
		if all := i.amended[x.ID]; x.Kind == "task-done" && x.Reference("task") == e.ID {
			t.changed = laterOf(t.changed, dateTime(all[len(all)-1].Charted)) // it had been completed
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
	t.status, t.waits, t.changed = cancelled, "discharged", dateTime(charted)
	return true
}

func (i *infant) chartedPlan(e *entry.Standing, after []*entry.Standing, stay *entry.Stay) task {
	t := task{status: requested, code: i.codes.concept(planCharted), from: dateTime(e.At)}
	of := i.dueCode(e.Text("what"), e.Text("care"))
	t.code.Text = ptr(pair(*t.code.Text, *of.Text))
	t.code.Coding = append(t.code.Coding, of.Coding...)
	t.about = "every " + e.Text("every") + ": " + e.Text("reason")
	until, bounded := e.Moment("until")
	if bounded && !until.Before(e.At.Time) {
		t.until = dateTime(until)
	}
	for _, x := range after {
		if x.Kind == "plan" && x.Text("what") == e.Text("what") && x.Text("care") == e.Text("care") {
			charted, _ := version(x)
			t.status, t.waits, t.changed = cancelled, "another plan was charted", dateTime(charted)
			return t
		}
	}
	if bounded && i.ask.At.After(until.Time) {
		t.status = completed
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

func narrateTask(m *r4.Task, status string) *r4.Narrative {
	p := newPage()
	p.line(textOf(m.Code), of(m.Description), status, textOf(m.StatusReason))
	if r := m.Restriction; r != nil {
		p.line(pair("due", of(r.Period.Start)), pair("overdue from", of(r.Period.End)))
	}
	if m.ExecutionPeriod != nil {
		p.line(pair("done", of(m.ExecutionPeriod.End)))
	}
	by := ""
	if m.Requester != nil {
		by = of(m.Requester.Display)
	}
	if said := saidCharted(m.LastModified, by, m.Note); len(said) == 1 {
		p.line(said...)
	} else {
		p.line(pair("by", by), of(m.LastModified))
	}
	notes(p, m.Note)
	return p.done()
}
