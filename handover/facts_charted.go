package handover

// chartedFacts are those of charted.go.
var chartedFacts = []FactSpec{
	object("gas", func(s *Summary) *Gas { return s.Gas },
		val("sample", func(g *Gas) string { return g.Sample }),
		source,
		named("", func(g *Gas) Maybe[[]Observed] { return known(g.Values) }, func(o *Observed) string { return o.Field },
			traced("", func(o *Observed) *Observed { return o }, (*Observed).value)).fieldsOf("gas")),
	named("limits", func(s *Summary) Maybe[[]Observed] { return someOf(s.Limits) }, func(o *Observed) string { return o.Field },
		traced("", func(o *Observed) *Observed { return o }, (*Observed).value)).fieldsOf("limits").quiet(),
	object("safety", func(s *Summary) *SafetyCheck { return s.Safety },
		list("items", func(c *SafetyCheck) []SafetyItem { return c.Items }, nil,
			val("item", func(i *SafetyItem) string { return i.Item }),
			val("ok", func(i *SafetyItem) bool { return i.OK })),
		source),
	list("told", func(s *Summary) []Told { return s.Told }, nil,
		val("whom", func(t *Told) string { return t.Whom }),
		val("about", func(t *Told) string { return t.About }),
		val("answer", func(t *Told) string { return t.Answer }),
		source),
}
