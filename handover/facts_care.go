package handover

import (
	"time"

	"cotline/handover/entry"
)

// careFacts are what was done, said, asked for and is due.
var careFacts = []FactSpec{
	list("cares", func(s *Summary) []Care { return s.Cares }, nil,
		val("what", func(c *Care) string { return c.What }),
		happened,
		val("window", func(c *Care) int { return c.Window }),
		val("side", func(c *Care) string { return c.Side }),
		val("state", func(c *Care) string { return c.State }),
		val("amount", func(c *Care) string { return c.Amount }),
		val("look", func(c *Care) string { return c.Look }),
		val("text", func(c *Care) string { return c.Text }),
		sourceTail),
	list("alarms", func(s *Summary) []Alarm { return s.Alarms }, nil,
		val("about", func(a *Alarm) string { return a.About }),
		list("tried", func(a *Alarm) []Tried { return a.Tried }, nil,
			val("cause", func(t *Tried) string { return t.Cause }),
			val("found", func(t *Tried) bool { return t.Found })),
		val("action", func(a *Alarm) string { return a.Action }),
		val("settledAt", func(a *Alarm) time.Time { return a.SettledAt }),
		source),
	maybeObject("outlook", func(s *Summary) Maybe[Outlook] { return s.Outlook },
		val("severity", func(o *Outlook) string { return o.Severity }).as("severity"),
		someList("ifThen", func(o *Outlook) []IfThen { return o.IfThen },
			val("if", func(x *IfThen) string { return x.If }),
			val("then", func(x *IfThen) string { return x.Then })),
		val("callFor", func(o *Outlook) string { return o.CallFor }),
		source).as("outlook").quiet(),
	list("notes", func(s *Summary) []Note { return s.Notes }, nil, noteFacts...),
	list("tasks", func(s *Summary) []Task { return s.Tasks }, nil, taskFacts...),
	list("plans", func(s *Summary) []Plan { return s.Plans }, nil,
		val("what", func(p *Plan) string { return p.What }),
		val("care", func(p *Plan) string { return p.Care }),
		val("every", func(p *Plan) string { return p.Every }),
		val("until", func(p *Plan) time.Time { return p.Until }),
		val("reason", func(p *Plan) string { return p.Reason }),
		source),
	list("due", func(s *Summary) []Due { return s.Due }, nil,
		val("what", func(d *Due) string { return d.What }),
		val("care", func(d *Due) string { return d.Care }),
		val("task", func(d *Due) string { return d.Task }),
		val("text", func(d *Due) string { return d.Text }),
		val("at", func(d *Due) time.Time { return d.At }),
		val("on", func(d *Due) entry.Date { return d.On }),
		val("overdueAt", func(d *Due) time.Time { return d.OverdueAt }),
		val("state", func(d *Due) string { return d.State }),
		val("until", func(d *Due) time.Time { return d.Until }),
		val("every", func(d *Due) string { return d.Every }),
		mark("planned", func(d *Due) bool { return d.Planned }),
		val("why", func(d *Due) string { return d.Why })).apart(),
}

var noteFacts = []FactSpec{
	val("text", func(n *Note) string { return n.Text }),
	mark("readOut", func(n *Note) bool { return n.ReadOut }),
	source,
}

var taskFacts = []FactSpec{
	val("task", func(t *Task) string { return t.ID }).apart(),
	val("text", func(t *Task) string { return t.Text }),
	val("dueAt", func(t *Task) time.Time { return t.DueAt }),
	source,
}
