package handover

import (
	"time"

	"cotline/handover/entry"
)

// bodyFacts are skin, tubes, head and bonnet, and the equipment.
var bodyFacts = []FactSpec{
	object("skin", func(s *Summary) *Skin { return &s.Skin },
		from((*Skin).checked,
			maybe("checkedAt", func(f *Skin) Maybe[time.Time] { return knownIf(f.checked().At, f.seen()) })).as(skinUnseen),
		from(func(f *Skin) Source { return f.worst().Source },
			maybe("worst", func(f *Skin) Maybe[string] { return knownIf(f.worst().Finding, f.seen()) })).as(skinUnseen).quiet(),
		from(func(f *Skin) Source { return f.worst().Source },
			maybe("worstSite", func(f *Skin) Maybe[string] { return knownIf(f.worst().Site, f.seen()) })).as(skinUnseen).quiet(),
		maybe("worstAt", func(f *Skin) Maybe[time.Time] { return knownIf(f.worst().At, f.seen()) }).as(skinUnseen).apart(),
		list("sites", func(f *Skin) []SkinSite { return f.Sites }, func(x *SkinSite) string { return x.Site },
			val("site", func(x *SkinSite) string { return x.Site }).apart(),
			val("finding", func(x *SkinSite) string { return x.Finding }),
			val("also", func(x *SkinSite) []string { return x.Also }).quiet(),
			maybe("underBarrier", func(x *SkinSite) Maybe[bool] { return x.UnderBarrier }).quiet(),
			val("change", func(x *SkinSite) string { return x.Change }),
			happened, entryOnly,
			val("action", func(x *SkinSite) string { return x.Action }),
			val("note", func(x *SkinSite) string { return x.Note }),
			origin(chartedAt, byWhom, amended)),
		opt("unseen", func(f *Skin) *[]string { return f.Unseen.Value }),
		object("", func(f *Skin) *Skin { return sayIf(f.DueAt.Applies, *f) },
			maybe("dueAt", func(f *Skin) Maybe[time.Time] { return f.DueAt }),
			maybe("overdueAt", func(f *Skin) Maybe[time.Time] { return f.Overdue }),
			opt("dueSites", func(f *Skin) *[]string { return sayIf(len(f.DueSites) > 0, f.DueSites) })),
		val("state", func(f *Skin) string { return f.State }),
		val("until", func(f *Skin) time.Time { return f.Until })).as(skinUnseen),
	maybeList("tubes", func(s *Summary) Maybe[[]Tube] { return s.Tubes },
		func(t *Tube) string { return t.Use }, tubeFacts...).as("gastric tube").items("tube"),
	maybeObject("head", func(s *Summary) Maybe[Head] { return s.Head },
		val("circumferenceCm", func(f *Head) entry.Decimal { return f.CircumferenceCm }).of("head", "circumferenceCm"),
		happened,
		val("unreliable", func(f *Head) string { return f.Unreliable }),
		object("", func(f *Head) *Score { return &f.Score }, scoreFacts...),
		object("", func(f *Head) *Growth { return f.Growth },
			val("growthCmPerWeek", func(g *Growth) entry.Decimal { return g.CmPerWeek }).in("cm a week"),
			object("growthFrom", func(g *Growth) *NumberFact { return &g.From },
				val("circumferenceCm", func(f *NumberFact) entry.Decimal { return f.Value }).of("head", "circumferenceCm"),
				happened, entryFirst),
			val("withinError", func(g *Growth) bool { return g.WithinError })).fromRecord(),
		entryFirst).as("head"),
	maybeObject("bonnet", func(s *Summary) Maybe[Bonnet] { return s.Bonnet }, bonnetFacts...).as("bonnet"),
	maybeObject("humidifier", func(s *Summary) Maybe[Humidifier] { return s.Humidifier },
		maybe("state", func(f *Humidifier) Maybe[string] { return f.State }).as("state of the humidifier"),
		from((*Humidifier).chamber, maybe("chamberC", (*Humidifier).chamberC)).of("humidifier", "chamberC").as("chamber temperature"),
		maybe("inTolerance", func(f *Humidifier) Maybe[bool] { return f.InTolerance }).as("chamber temperature"),
		happened,
		object("chamberFrom", func(f *Humidifier) *NumberFact { return sayElse(f.ChamberC, f.Entry) }, source).apart(),
		maybe("readyBeforeUse", func(f *Humidifier) Maybe[bool] { return f.ReadyBeforeUse }).
			as("humidifier ready before use").fromRecord(),
		from(func(f *Humidifier) Source { return f.WaterSeen }, maybe("water", (*Humidifier).water)).as("water in the bag"),
		object("waterFrom", func(f *Humidifier) *Source {
			return sayIf(f.WaterSeen.Entry != "" && f.WaterSeen.Entry != f.Entry, f.WaterSeen)
		}, source).apart(),
		maybe("waterEmptyAt", func(f *Humidifier) Maybe[time.Time] { return f.WaterEmptyAt }).as("when the water runs out").fromRecord(),
		entryFirst).as("humidifier"),
	maybeObject("setup", func(s *Summary) Maybe[Setup] { return s.Setup },
		maybe("calibrated", func(f *Setup) Maybe[bool] { return f.Calibrated }).as("oxygen sensor check"),
		list("points", func(f *Setup) []SensorPoint { return f.Points }, nil,
			val("gasPercent", func(p *SensorPoint) entry.Decimal { return p.GasPercent }),
			val("readPercent", func(p *SensorPoint) entry.Decimal { return p.ReadPercent }),
			val("ok", func(p *SensorPoint) bool { return p.OK }),
			opt("humidPercent", func(p *SensorPoint) *entry.Decimal { return p.HumidPercent }),
			source),
		changing("steps", "steps of the set-up"),
		changing("circuit", "circuit fitted"),
		from(func(f *Setup) Source { return f.Seal }, maybe("sealHeld", func(f *Setup) Maybe[bool] { return f.SealHeld })).
			as("seal check"),
		object("seal", func(f *Setup) *Source { return sayIf(f.Seal.Entry != "", f.Seal) }, source).apart(),
		val("notDone", func(f *Setup) []string { return f.NotDone }),
		maybe("notCharted", func(f *Setup) Maybe[[]string] { return f.NotCharted }),
		maybe("circuitDueOn", func(f *Setup) Maybe[entry.Date] { return f.CircuitDueOn }).as("when the circuit is due"),
		maybe("probeCaution", func(f *Setup) Maybe[bool] { return f.ProbeCaution })).as("set-up"),
}

// skinUnseen is how every figure of the worst finding is named while there is none.
const skinUnseen = "skin (no site seen)"

var tubeFacts = []FactSpec{
	changing("in", ""),
	val("use", func(t *Tube) string { return t.Use }).apart(),
	val("route", func(t *Tube) string { return t.Route }).as("route"),
	maybe("sizeFr", func(t *Tube) Maybe[entry.Decimal] { return t.SizeFr }).of("tube", "sizeFr").as("size"),
	val("markCm", func(t *Tube) entry.Decimal { return t.MarkCm }).of("tube", "markCm").as("mark"),
	from(func(t *Tube) Source { return Source{At: t.ReferenceAt} },
		val("referenceMarkCm", func(t *Tube) entry.Decimal { return t.ReferenceMarkCm })).of("tube", "markCm").as("reference mark"),
	val("referenceAt", func(t *Tube) time.Time { return t.ReferenceAt }).apart(),
	val("moved", func(t *Tube) bool { return t.Moved }).as("moved").fromRecord(),
	val("checkedAt", func(t *Tube) time.Time { return t.CheckedAt }).as("check").fromRecord(),
	entryOnly,
	object("", func(t *Tube) *Tube { return sayIf(t.PH != nil, *t) },
		traced("ph", func(t *Tube) *NumberFact { return t.PH }, numberOfFact).in("pH").as("pH")),
	object("", func(t *Tube) *WordFact { return t.Aspirate },
		val("aspirate", func(f *WordFact) string { return f.Value }).as("aspirate"),
		val("aspirateAt", func(f *WordFact) time.Time { return f.At }).apart(),
		object("aspirateFrom", func(f *WordFact) *Source { return &f.Source }, source).apart()),
	tracedIf("aspirateMl", func(t *Tube) *NumberFact { return t.AspirateMl }),
	tracedIf("aspirateLook", func(t *Tube) *WordFact { return t.AspirateLook }),
	object("xray", func(t *Tube) *Source { return t.XRay }, source),
	from(func(t *Tube) Source { return Source{At: t.EstimateWeightAt} }, beside((*Tube).estimatedBy,
		maybe("estimateCm", func(t *Tube) Maybe[entry.Decimal] { return t.EstimateCm }))).
		of("tube", "markCm").as("length estimate").quiet(),
	val("estimateBy", func(t *Tube) string { return t.EstimateBy }).apart(),
	val("estimateWeightAt", func(t *Tube) time.Time { return t.EstimateWeightAt }).apart(),
	origin(atMoment, chartedAt, byWhom, amended),
}

var bonnetFacts = []FactSpec{
	changing("in", "bonnet"),
	changing("due", "bonnet due"),
	maybe("size", func(f *Bonnet) Maybe[string] { return f.Size }).as("bonnet size"),
	val("since", func(f *Bonnet) time.Time { return f.Since }),
	object("", func(f *Bonnet) *Source { return sayIf(f.Since.IsZero(), f.Source) }, atMoment), // none on: since when
	val("dueOn", func(f *Bonnet) entry.Date { return f.DueOn }).fromRecord(),
	val("reason", func(f *Bonnet) string { return f.Reason }).fromRecord(),
	list("reasons", func(f *Bonnet) []Reason { return f.Reasons }, nil,
		val("reason", func(r *Reason) string { return r.Reason }),
		val("on", func(r *Reason) entry.Date { return r.On }),
		val("entry", func(r *Reason) string { return r.Entry })),
	val("state", func(f *Bonnet) string { return f.State }).fromRecord(),
	val("until", func(f *Bonnet) time.Time { return f.Until }).fromRecord(),
	val("checkFrom", func(f *Bonnet) entry.Date { return f.CheckFrom }).fromRecord(),
	val("latest", func(f *Bonnet) entry.Date { return f.Latest }).fromRecord(),
	maybe("fits", func(f *Bonnet) Maybe[bool] { return f.Fits }).as("whether the bonnet is in its range").fromRecord(),
	entryFirst,
}

// seen says whether any site was looked at in the stay.
func (f *Skin) seen() bool { return f.Checked != nil && f.Worst != nil }

// checked is the latest check.
func (f *Skin) checked() Source {
	if f.Checked == nil {
		return Source{}
	}
	return *f.Checked
}

func (f *Skin) worst() SkinSite {
	if f.Worst == nil {
		return SkinSite{}
	}
	return *f.Worst
}

// estimatedBy names the estimate, and says what it is not.
func (t *Tube) estimatedBy() string {
	if t.EstimateBy == "" {
		return ""
	}
	return FieldOf("tube", "markCm").Unit + ", " + t.EstimateBy + ": a prompt, never an order"
}

// sayElse is a fact of another entry than the one that its owner names.
func sayElse(f *NumberFact, entry string) *NumberFact {
	if f == nil || f.Entry == entry {
		return nil
	}
	return f
}

// chamber is where the chamber's temperature comes from.
func (f *Humidifier) chamber() Source {
	if f.ChamberC == nil {
		return Source{}
	}
	return f.ChamberC.Source
}

// chamberC is null where it could have been charted.
func (f *Humidifier) chamberC() Maybe[entry.Decimal] {
	if f.ChamberC == nil {
		return Maybe[entry.Decimal]{Applies: f.on()}
	}
	return known(f.ChamberC.Value)
}

// water is null where it could have been charted.
func (f *Humidifier) water() Maybe[string] {
	if f.Water == "" {
		return Maybe[string]{Applies: f.on()}
	}
	return known(f.Water)
}
