package handover

import "time"

// wardFacts is the table of the whole ward, which is told.
var wardFacts = []FactSpec{
	val("warning", (*Handover).Warning),
	val("unit", func(h *Handover) string { return h.Unit }),
	val("at", func(h *Handover) time.Time { return h.At }),
	val("known", func(h *Handover) time.Time { return h.Known }),
	val("policy", func(h *Handover) string { return h.Policy }),
	opt("position", func(h *Handover) *int { return sayIf(h.Position > 0, int(h.Position)) }),
	val("chain", func(h *Handover) string { return h.Chain }),
	list("late", func(h *Handover) []Late { return h.Late }, nil,
		val("infant", func(l *Late) string { return l.Infant }),
		val("entry", func(l *Late) string { return l.Entry }),
		val("how", func(l *Late) string { return l.How }),
		val("kind", func(l *Late) string { return l.Kind }),
		val("at", func(l *Late) time.Time { return l.At }),
		val("charted", func(l *Late) time.Time { return l.Charted }),
		val("by", func(l *Late) string { return l.By }),
		val("text", func(l *Late) string { return l.Text })),
	list("left", func(h *Handover) []Left { return h.Left }, nil,
		val("infant", func(l *Left) string { return l.Infant }),
		val("cot", func(l *Left) string { return l.Cot }),
		val("mrn", func(l *Left) string { return l.MRN }),
		val("temporary", func(l *Left) string { return l.Temporary }),
		mark("restricted", func(l *Left) bool { return l.Restricted }),
		val("family", func(l *Left) string { return unless(l.Restricted, l.Family) }),
		val("given", func(l *Left) string { return unless(l.Restricted, l.Given) }),
		happened,
		val("to", func(l *Left) string { return l.To }),
		val("place", func(l *Left) string { return l.Place }),
		sourceTail),
	list("notes", func(h *Handover) []Note { return h.Notes }, nil, noteFacts...),
	list("tasks", func(h *Handover) []Task { return h.Tasks }, nil, taskFacts...),
	{Name: "infants", List: true, Of: infantFacts, read: func(owner any, f *Fact) {
		all := owner.(*Handover).Infants
		f.teller.list(f, f.Of, len(all), func(i int) any { return all[i] })
	}},
}

// TellFacts tells the table of the whole ward.
func (h *Handover) TellFacts(to Listener) { (&teller{to: to}).all(wardFacts, h) }
