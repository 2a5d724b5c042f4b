package handover

import (
	"slices"
	"time"
)

// infantFacts is the table of facts of one infant, in the order of the JSON form:
// what to look at first, who, then breathing, body and care, then what is said about the handover itself.
var infantFacts = slices.Concat(
	firstFacts, identityFacts, breathingFacts, bodyFacts, careFacts, chartedFacts, aboutFacts)

var identityFacts = []FactSpec{
	val("cot", func(s *Summary) string { return s.Cot }).as("cot").apart(),
	val("mrn", func(s *Summary) string { return s.MRN }).as("hospital number").apart(),
	changing("name", "name"),
	val("temporary", func(s *Summary) string { return s.Temporary }).apart(),
	mark("restricted", func(s *Summary) bool { return s.Restricted }).apart(),
	val("family", func(s *Summary) string { return unless(s.Restricted, s.Family) }).apart(),
	val("given", func(s *Summary) string { return unless(s.Restricted, s.Given) }).apart(),
	val("formerly", func(s *Summary) string { return unless(s.Restricted, s.Formerly) }).apart(),
	maybe("sex", func(s *Summary) Maybe[string] { return knownIf(s.Sex, s.Sex != "") }).as("sex"),
	val("mother", func(s *Summary) string { return s.Mother }),
	val("visit", func(s *Summary) string { return s.Visit }),
	val("birthOrder", func(s *Summary) Digits { return Digits(s.BirthOrder) }),
	val("multiples", func(s *Summary) Digits { return Digits(s.Multiples) }),
	val("since", func(s *Summary) time.Time { return s.Since }),
	val("new", func(s *Summary) bool { return s.New }),
	object("age", func(s *Summary) *Age { return &s.Age },
		maybe("gestation", func(a *Age) Maybe[string] { return knownIf(a.Gestation, a.Gestation != "") }).
			of("admission", "gestation").as("gestation at birth"),
		val("postmenstrual", func(a *Age) string { return a.Postmenstrual }).of("admission", "gestation"),
		opt("about", func(a *Age) *bool { return sayIf(a.Postmenstrual != "", a.About) }).apart(),
		val("dayOfLife", func(a *Age) int { return a.DayOfLife }).in("the day of birth is 0")),
}

// aboutFacts is what the handover says about itself: how it differs from the last
// one, what was not charted or not computed, and who could be taken for another.
var aboutFacts = []FactSpec{
	list("changes", (*Summary).ShownChanges, nil,
		val("path", func(c *Change) string { return c.Path }),
		maybe("from", func(c *Change) Maybe[any] { return c.From.value() }),
		maybe("to", func(c *Change) Maybe[any] { return c.To.value() }),
		val("why", func(c *Change) string { return c.Why }),
		val("entry", func(c *Change) string { return c.Entry })).apart(),
	list("remarks", func(s *Summary) []Remark { return s.Remarks }, nil,
		val("entry", func(r *Remark) string { return r.Entry }),
		val("why", func(r *Remark) string { return r.Why })),
	list("thresholds", func(s *Summary) []ThresholdFact { return s.Thresholds }, nil,
		val("name", func(t *ThresholdFact) string { return t.Name }),
		opt("met", func(t *ThresholdFact) *bool { return t.Met }),
		val("text", func(t *ThresholdFact) string { return t.Text }),
		val("source", func(t *ThresholdFact) string { return t.Source }),
		mark("first", func(t *ThresholdFact) bool { return t.First })),
	val("gaps", func(s *Summary) []string { return s.Gaps }),
	list("notComputed", func(s *Summary) []NotComputed { return s.NotComputed }, nil,
		val("path", func(n *NotComputed) string { return n.Path }),
		val("why", func(n *NotComputed) string { return n.Why })),
	list("conflicts", func(s *Summary) []Conflict { return s.Conflicts }, nil,
		val("what", func(c *Conflict) string { return c.What }),
		val("value", func(c *Conflict) string { return c.Value }),
		val("infant", func(c *Conflict) string { return c.Infant })).apart(),
	list("lookAlikes", func(s *Summary) []LookAlike { return s.LookAlikes }, nil,
		val("infant", func(l *LookAlike) string { return l.Infant }),
		val("why", func(l *LookAlike) string { return l.Why })).apart(),
}

// ShownChanges leaves a restricted infant's name out of what changed.
func (s *Summary) ShownChanges() []Change {
	return slices.DeleteFunc(slices.Clone(s.Changes), func(c Change) bool { return s.Restricted && c.Path == "name" })
}

// value is a number, true or false, or a text; not charted where there is none.
func (v *ChangeValue) value() Maybe[any] {
	var out any
	switch {
	case v == nil:
		return notCharted[any]()
	case v.Bare && (v.Text == "true" || v.Text == "false"):
		out = v.Text == "true"
	case v.Bare:
		out = Digits(v.Text)
	default:
		out = v.Text
	}
	return known(out)
}

// Facts reads the whole table of one infant, in its order; what says nothing is
// left out.
func (s *Summary) Facts() []Fact { return readAll(infantFacts, s, "", Source{}) }

// LabelOf names the fact of a path in words, empty where the table has none.
func LabelOf(path string) string { return labelIn(infantFacts, path) }
