package handover

import (
	"slices"
	"strings"
	"time"

	"cotline/handover/entry"
)

// breathingFacts are support, what is set, what was seen, and what lies on the face.
var breathingFacts = []FactSpec{
	object("support", func(s *Summary) *Support { return &s.Support },
		val("state", func(f *Support) string { return f.State }).as("support"),
		val("mode", func(f *Support) string { return f.Mode }).as("mode"),
		val("since", func(f *Support) time.Time { return f.Since }),
		val("modeSince", func(f *Support) time.Time { return f.ModeSince }),
		val("driver", func(f *Support) string { return f.Driver }),
		val("why", func(f *Support) string { return f.Why }),
		val("stoppedAt", func(f *Support) time.Time { return f.StoppedAt }),
		val("reason", func(f *Support) string { return f.Reason }),
		sourceTail),
	named("settings", func(s *Summary) Maybe[[]Setting] { return someOf(s.Settings) }, func(x *Setting) string { return x.Field },
		traced("", func(x *Setting) *NumberFact { return x.Fact }, numberOfFact)).fieldsOf("settings").quiet(),
	maybeObject("fio2", func(s *Summary) Maybe[FiO2Window] { return s.FiO2 },
		val("minPercent", func(f *FiO2Window) entry.Decimal { return f.MinPercent }).of("settings", "fio2Percent"),
		val("maxPercent", func(f *FiO2Window) entry.Decimal { return f.MaxPercent }).of("settings", "fio2Percent"),
		maybe("meanPercent", func(f *FiO2Window) Maybe[entry.Decimal] { return f.MeanPercent }).of("settings", "fio2Percent").
			as("mean FiO2"),
		maybe("meanBeforePercent", func(f *FiO2Window) Maybe[entry.Decimal] { return f.MeanBefore }).of("settings", "fio2Percent"),
		val("rises", func(f *FiO2Window) int { return f.Rises })).as("FiO2 in the window"),
	maybeObject("spo2", func(s *Summary) Maybe[SpO2Window] { return s.SpO2 },
		val("count", func(f *SpO2Window) int { return f.Count }),
		val("below", func(f *SpO2Window) int { return f.Below }),
		val("inTarget", func(f *SpO2Window) int { return f.InTarget }),
		val("above", func(f *SpO2Window) int { return f.Above }),
		val("noTarget", func(f *SpO2Window) int { return f.NoTarget })).as("SpO2 in the window"),
	maybeObject("indices", func(s *Summary) Maybe[Indices] { return s.Indices },
		happened,
		maybe("sf", func(f *Indices) Maybe[entry.Decimal] { return f.SF }).as("S/F (set FiO2)").in("set CPAP"),
		maybe("severity", func(f *Indices) Maybe[entry.Decimal] { return f.Severity }).as("severity score (set CPAP and FiO2)").
			in("set CPAP"),
		maybe("osi", func(f *Indices) Maybe[entry.Decimal] { return f.OSI }).as("OSI (set CPAP and FiO2)").in("set CPAP"),
		val("spo2Percent", func(f *Indices) entry.Decimal { return f.SpO2 }).of("observations", "spo2Percent").apart(),
		sourceTail).as("indices"),
	named("observations", func(s *Summary) Maybe[[]observable] { return known(s.observable()) },
		func(o *observable) string { return o.field },
		traced("", func(o *observable) *Observed { return o.fact }, (*Observed).value)).fieldsOf("observations"),
	maybeObject("silverman", func(s *Summary) Maybe[Silverman] { return s.Silverman },
		val("total", func(f *Silverman) int { return f.Total }),
		happened,
		tally("items", SilvermanItems, func(f *Silverman) []int { return f.Items[:] }).apart(),
		sourceTail).as("Silverman-Andersen"),
	maybeObject("weight", (*Summary).weight,
		val("weightG", func(f *Weight) entry.Decimal { return f.WeightG }).of("weight", "weightG"),
		happened,
		object("", func(f *Weight) *Score { return &f.Score }, scoreFacts...),
		sourceTail).as("weight"),
	maybeObject("birthWeight", func(s *Summary) Maybe[Weight] { return s.BirthWeight }, // its moment is birth
		val("weightG", func(f *Weight) entry.Decimal { return f.WeightG }).of("admission", "birthWeightG"),
		object("", func(f *Weight) *Score { return &f.Score }, scoreFacts...),
		sourceTail).as("birth weight"),
	object("episodes", func(s *Summary) *Episodes { return &s.Episodes },
		object("window", func(f *Episodes) *EpisodeCount { return &f.Window }, episodeFacts...),
		object("day", func(f *Episodes) *EpisodeCount { return &f.Day }, episodeFacts...),
		object("", func(f *Episodes) *Source { return f.Helped },
			val("helpedAt", func(s *Source) time.Time { return s.At }),
			entryFirst)),
	maybeObject("interface", func(s *Summary) Maybe[Interface] { return s.Interface },
		val("type", func(f *Interface) string { return f.Type }),
		maybe("size", func(f *Interface) Maybe[string] { return f.Size }).as("interface size"),
		val("since", func(f *Interface) time.Time { return f.Since }),
		tracedIf("fit", func(f *Interface) *WordFact { return f.Fit }),
		tracedIf("clear", func(f *Interface) *WordFact { return f.Clear }),
		entryFirst).as("interface"),
	maybeObject("rotation", func(s *Summary) Maybe[Rotation] { return s.Rotation },
		maybeObject("last", func(f *Rotation) Maybe[Rotated] { return Maybe[Rotated]{Applies: true, Value: f.Last} },
			happened,
			val("from", func(f *Rotated) string { return f.From }),
			val("fromSince", func(f *Rotated) time.Time { return f.FromSince }),
			val("fromUntil", func(f *Rotated) time.Time { return f.FromUntil }),
			val("to", func(f *Rotated) string { return f.To }),
			entryFirst).as("last rotation"), // null before the first
		maybe("dueAt", func(f *Rotation) Maybe[time.Time] { return f.DueAt }).as("when rotation is due"),
		maybe("overdueAt", func(f *Rotation) Maybe[time.Time] { return f.OverdueAt }).as("when rotation is overdue"),
		val("state", func(f *Rotation) string { return f.State }),
		val("until", func(f *Rotation) time.Time { return f.Until })).as("rotation"),
	named("hoursUnder", func(s *Summary) Maybe[[]SiteHours] { return s.HoursUnder }, func(h *SiteHours) string { return h.Site },
		val("", func(h *SiteHours) entry.Decimal { return h.Hours }).in("h of the last 24")).as("hours under the interface"),
}

var episodeFacts = []FactSpec{
	val("count", func(c *EpisodeCount) int { return c.Count }),
	tally("", entry.Signs, func(c *EpisodeCount) []int { return c.BySign[:] }),
	tally("", entry.Recoveries, func(c *EpisodeCount) []int { return c.ByRecovered[:] }),
}

// scoreFacts are a place on a growth standard, which stands beside each figure.
var scoreFacts = []FactSpec{
	beside(func(f *Score) string { return f.Standard }, opt("z", func(f *Score) *entry.Decimal { return f.Z })),
	beside(func(f *Score) string { return f.Standard }, opt("centile", func(f *Score) *entry.Decimal { return f.Centile })),
	val("standard", func(f *Score) string { return f.Standard }).apart(),
	val("noZ", func(f *Score) string { return f.NoZ }),
}

// value is a number where the field is one.
func (o *Observed) value() any {
	if d, err := entry.ParseDecimal(o.Value); err == nil && !o.Word {
		return d
	}
	return o.Value
}

// observable is an observation, without a fact where it could have been charted.
type observable struct {
	field string
	fact  *Observed
}

func (s *Summary) observable() []observable {
	out := make([]observable, len(s.Observations))
	for i := range s.Observations {
		out[i] = observable{s.Observations[i].Field, &s.Observations[i]}
	}
	for _, path := range s.Gaps {
		field, ok := strings.CutPrefix(path, "observations.")
		if ok && !slices.ContainsFunc(out, func(x observable) bool { return x.field == field }) {
			out = append(out, observable{field: field})
		}
	}
	return out
}

// weight is null where none was charted in the stay.
func (s *Summary) weight() Maybe[Weight] {
	if s.Weight.Value == nil && slices.Contains(s.Gaps, "weight") {
		return notCharted[Weight]()
	}
	return s.Weight
}
