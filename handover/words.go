package handover

import (
	"slices"
)

// caresFact is the latest of each care, in the order of the table, then the unit's;
// one that the unit has dropped from its list since stands at the end.
func (r *reading) caresFact() []Care {
	var out []Care
	all := r.p.AllCares()
	for _, e := range r.own["care"] {
		if what := e.Text("what"); !slices.Contains(all, what) {
			all = append(all, what)
		}
	}
	for _, what := range all {
		e := latest(r.own["care"], being("what", what))
		if e == nil {
			continue
		}
		c := Care{What: what, Side: e.Text("side"), State: e.Text("state"), Text: e.Text("text"),
			Amount: e.Text("amount"), Look: e.Text("look"), Source: r.source(e)}
		for _, x := range r.own["care"] {
			if x.Text("what") == what && r.inWindow(x.At.Time) {
				c.Window++
			}
		}
		out = append(out, c)
	}
	return out
}

// alarmsFact are the alarms of the window.
func (r *reading) alarmsFact() []Alarm {
	var out []Alarm
	for _, e := range r.own["alarm"] {
		if !r.inWindow(e.At.Time) {
			continue
		}
		a := Alarm{About: e.Text("about"), Action: e.Text("action"), Source: r.source(e)}
		for _, t := range e.List("tried") {
			a.Tried = append(a.Tried, Tried{t.Field("cause").Text, t.Field("found").Bool})
		}
		if m, ok := e.Moment("settledAt"); ok {
			a.SettledAt = m.Time
		}
		out = append(out, a)
	}
	return out
}

// outlookFact is the latest outlook, whole.
func (r *reading) outlookFact() Maybe[Outlook] {
	e := latest(r.own["outlook"], always)
	if e == nil {
		return notCharted[Outlook]()
	}
	o := Outlook{Severity: e.Text("severity"), CallFor: e.Text("callFor"), Source: r.source(e)}
	for _, x := range e.List("ifThen") {
		o.IfThen = append(o.IfThen, IfThen{x.Field("if").Text, x.Field("then").Text})
	}
	return known(o)
}

// notesFact are the notes of the window.
func (r *reading) notesFact() []Note {
	var out []Note
	for _, e := range r.own["note"] {
		if r.inWindow(e.At.Time) {
			out = append(out, Note{Text: e.Text("text"), ReadOut: e.Flag("readOut"), Source: r.source(e)})
		}
	}
	return out
}

// tasksFact are the tasks that are not done.
func (r *reading) tasksFact() []Task {
	done := map[string]bool{}
	for _, e := range r.own["task-done"] {
		done[e.Reference("task")] = true
	}
	var out []Task
	for _, e := range r.own["task"] {
		if done[e.ID] {
			continue
		}
		t := Task{ID: e.ID, Text: e.Text("text"), Source: r.source(e)}
		if m, ok := e.Moment("dueAt"); ok {
			t.DueAt = m.Time
		}
		out = append(out, t)
	}
	return out
}

// plansFact are the plans in force.
func (r *reading) plansFact() []Plan {
	var out []Plan
	for _, e := range r.planned {
		if r.planOf(e.Text("what"), e.Text("care")) != e {
			continue
		}
		p := Plan{What: e.Text("what"), Care: e.Text("care"), Every: e.Text("every"), Reason: e.Text("reason"), Source: r.source(e)}
		if m, ok := e.Moment("until"); ok {
			p.Until = m.Time
		}
		out = append(out, p)
	}
	return out
}
