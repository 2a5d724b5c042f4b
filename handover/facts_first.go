package handover

import (
	"time"

	"cotline/handover/entry"
)

// firstFacts are the record's key, what to look at first, and what it rests on.
var firstFacts = []FactSpec{
	val("infant", func(s *Summary) string { return s.Infant }).apart(),
	list("attention", func(s *Summary) []Attention { return s.Attention }, nil,
		val("what", func(a *Attention) string { return a.What }),
		val("level", func(a *Attention) string { return a.Level }),
		val("text", func(a *Attention) string { return a.Text }),
		val("path", func(a *Attention) string { return a.Path }),
		val("at", func(a *Attention) time.Time { return a.At }),
		val("entry", func(a *Attention) string { return a.Entry })),
	list("next", func(s *Summary) []Next { return s.Next }, nil,
		val("what", func(n *Next) string { return n.What }),
		val("care", func(n *Next) string { return n.Care }),
		val("task", func(n *Next) string { return n.Task }),
		val("text", func(n *Next) string { return n.Text }),
		val("dueAt", func(n *Next) time.Time { return n.DueAt }),
		val("overdueAt", func(n *Next) time.Time { return n.OverdueAt }),
		val("on", func(n *Next) entry.Date { return n.On })),
	list("old", func(s *Summary) []Old { return s.Old }, nil,
		val("path", func(o *Old) string { return o.Path }),
		val("at", func(o *Old) time.Time { return o.At })),
	list("doubts", func(s *Summary) []Doubt { return s.Doubts }, nil,
		val("code", func(d *Doubt) string { return d.Code }),
		val("path", func(d *Doubt) string { return d.Path }),
		val("text", func(d *Doubt) string { return d.Text }),
		val("entry", func(d *Doubt) string { return d.Entry })),
	object("handedOver", func(s *Summary) *HandedOver { return s.HandedOver },
		val("entry", func(h *HandedOver) string { return h.Entry }),
		val("by", func(h *HandedOver) string { return h.By }),
		val("to", func(h *HandedOver) string { return h.To }),
		val("asOf", func(h *HandedOver) time.Time { return h.AsOf }),
		val("at", func(h *HandedOver) time.Time { return h.At }),
		maybeObject("accepted", func(h *HandedOver) Maybe[Accepted] { return Maybe[Accepted]{Applies: true, Value: h.Accepted} },
			val("by", func(a *Accepted) string { return a.By }),
			val("at", func(a *Accepted) time.Time { return a.At }),
			val("entry", func(a *Accepted) string { return a.Entry }),
			maybe("confirmed", func(a *Accepted) Maybe[[]string] { return knownIf(a.Confirmed, a.Confirmed != nil) }),
			val("notConfirmed", func(a *Accepted) []string { return a.NotConfirmed }),
			maybe("readBack", func(a *Accepted) Maybe[bool] { return Maybe[bool]{Applies: true, Value: a.ReadBack} }),
			maybe("asked", func(a *Accepted) Maybe[string] { return knownIf(a.Asked, a.Asked != "") }))),
}
