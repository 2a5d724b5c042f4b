package fhir

import (
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// withinError is said of growth that the measuring error alone could make.
const withinError = "within measuring error"

// figure says how a fact of the handover's table is told as an Observation of its
// document.
type figure struct {
	kind string // of the document's sections: window, episode, age, tube
	role string // what its id is made of; * is the word in the fact's path
	code concept
	unit unit
	of   map[string]concept // of a count of several: its parts
	and  func(*document, *r4.Observation, *handover.Fact)
}

// figures are the facts that the engine computed for a handover, by path. They
// stand in its document and nowhere else.
var figures = map[string]figure{
	"fio2.minPercent":      {kind: "window", role: "fio2.minimum", code: fio2Lowest, unit: percent},
	"fio2.maxPercent":      {kind: "window", role: "fio2.maximum", code: fio2Highest, unit: percent},
	"fio2.meanPercent":     {kind: "window", role: "fio2.mean", code: fio2Mean, unit: percent},
	"fio2.rises":           {kind: "window", role: "fio2.rises", code: fio2Rises},
	"spo2":                 {kind: "window", role: "spo2", code: spo2Counts, of: targetCounts},
	"episodes.window":      {kind: "episode", role: "episodes.window", code: episodesWindow, of: episodeCounts(), and: overWindow},
	"episodes.day":         {kind: "episode", role: "episodes.day", code: episodesDay, of: episodeCounts(), and: overDay},
	"hoursUnder.*":         {kind: "window", role: "hours.*", code: hoursUnder, unit: hours, and: onSite},
	"age.dayOfLife":        {kind: "age", role: "day-of-life", code: dayOfLife},
	"weight.z":             {kind: "age", role: "weight.z", code: weightZ, unit: zScore, and: byStandard},
	"weight.centile":       {kind: "age", role: "weight.centile", code: weightCentile, unit: centile, and: byStandard},
	"head.z":               {kind: "age", role: "head.z", code: headZ, unit: zScore, and: byStandard},
	"head.centile":         {kind: "age", role: "head.centile", code: headCentile, unit: centile, and: byStandard},
	"head.growthCmPerWeek": {kind: "age", role: "head.growth", code: headGrowth, unit: cmWeek, and: withError},
	"tubes.*.moved":        {kind: "tube", role: "tube.*.moved", code: tubeMoved, and: ofTube},
	"tubes.*.estimateCm":   {kind: "tube", role: "tube.*.estimate", code: tubeEstimate, unit: cm, and: estimated},
}

// figured are the facts that figures are told of, in the document's order.
var figured = []string{"fio2", "spo2", "episodes", "hoursUnder", "age.dayOfLife", "age.postmenstrual", "weight", "head", "tubes"}

var targetCounts = map[string]concept{"below": spo2Below, "inTarget": spo2Within, "above": spo2Above, "noTarget": spo2NoTarget}

func episodeCounts() map[string]concept {
	out := maps.Clone(signs)
	maps.Copy(out, recoveries)
	return out
}

func (d *document) figures() {
	facts := d.s.Facts()
	for _, path := range figured {
		switch f := handover.Find(facts, path); {
		case f == nil:
		case path == "age.postmenstrual":
			d.postmenstrual()
		default:
			d.figuresOf(f)
		}
	}
}

// figuresOf tells a fact, and all below it, that have a figure.
func (d *document) figuresOf(f *handover.Fact) {
	word, pattern := "", f.Path
	if parts := strings.Split(f.Path, "."); len(parts) > 1 && (parts[0] == "hoursUnder" || parts[0] == "tubes") {
		word, parts[1] = parts[1], "*"
		pattern = strings.Join(parts, ".")
	}
	if x, ok := figures[pattern]; ok && f.State == handover.Charted {
		d.tell(x, f, strings.ReplaceAll(x.role, "*", word))
		return
	}
	for i := range f.Parts {
		d.figuresOf(&f.Parts[i])
	}
	for i := range f.Items {
		d.figuresOf(&f.Items[i])
	}
}

// tell is a figure of a fact; one of several counts has the first as its value.
func (d *document) tell(x figure, f *handover.Fact, role string) {
	told := f
	var parts []component
	if x.of != nil {
		told = &f.Parts[0]
		for _, part := range f.Parts[1:] {
			parts = append(parts, component{d.codes.concept(x.of[part.Name]), valueOf(part.Value, x.unit)})
		}
	}
	o := d.figure(x.kind, role, x.code, valueOf(told.Value, x.unit), parts...)
	if x.and != nil {
		x.and(d, o, f)
	}
}

func valueOf(v any, u unit) value {
	switch v := v.(type) {
	case handover.Decimal:
		return measured(v.String(), u)
	case int:
		return counted(v)
	case bool:
		return truth(v)
	}
	return value{}
}

func overWindow(d *document, o *r4.Observation, _ *handover.Fact) { d.over(o, d.s.Since) }

func overDay(d *document, o *r4.Observation, _ *handover.Fact) {
	d.over(o, d.Handover.At.Add(-24*time.Hour))
}

func onSite(d *document, o *r4.Observation, f *handover.Fact) {
	o.BodySite = d.codes.concept(sites[f.Name])
	overDay(d, o, f)
}

// byStandard names the growth standard, which stands beside the fact.
func byStandard(_ *document, o *r4.Observation, f *handover.Fact) { o.Method = texted(f.Remark) }

func withError(d *document, o *r4.Observation, _ *handover.Fact) {
	if d.s.Head.Value.Growth.WithinError {
		o.Note = []r4.Annotation{{Text: withinError}}
	}
}

// ofTube says which tube it is: two may be in.
func ofTube(d *document, o *r4.Observation, f *handover.Fact) {
	which := component{d.codes.concept(tubeUse), coded(d.codes.concept(uses[d.tube(f).Use]))}
	o.Component = append(o.Component, which.model())
}

func estimated(d *document, o *r4.Observation, f *handover.Fact) {
	ofTube(d, o, f)
	o.Method = texted(d.tube(f).EstimateBy)
}

// tube is the tube that a fact is of.
func (d *document) tube(f *handover.Fact) handover.Tube {
	all := *d.s.Tubes.Value
	return all[slices.IndexFunc(all, func(t handover.Tube) bool { return strings.HasPrefix(f.Path, "tubes."+t.Use+".") })]
}

// postmenstrual is the age in days, or in completed weeks where the days are not
// known.
func (d *document) postmenstrual() {
	week, day, exact := strings.Cut(d.s.Age.Postmenstrual, "+")
	w, err := strconv.Atoi(week)
	switch n, errDay := strconv.Atoi(day); {
	case err != nil:
	case exact && errDay == nil:
		d.figure("age", "postmenstrual-age", postmenstrual, measured(strconv.Itoa(7*w+n), days))
	case !exact:
		d.figure("age", "postmenstrual-age", postmenstrual, measured(week, weeks))
	}
}

// figure adds a computed Observation of the moment of the handover.
func (d *document) figure(kind, role string, code concept, v value, parts ...component) *r4.Observation {
	id := named(d.id, role).String()
	known := d.builder.own(d.id.String() + "." + role)
	o := &r4.Observation{
		Identifier: []r4.Identifier{*identifier(known.System, known.Value)}, Category: []r4.CodeableConcept{*d.codes.concept(survey)},
		Code: *d.codes.concept(code), Subject: d.subject, EffectiveDateTime: ptr(handover.Stamp(d.Handover.At, d.zone)),
		Issued: ptr(handover.Stamp(d.written(), d.zone)), ValueQuantity: v.quantity, ValueInteger: v.whole, ValueBoolean: v.truth,
		Method: d.codes.concept(computedByTool), Device: literal("Device", d.software.ID),
	}
	if kind == "window" {
		d.over(o, d.s.Since)
	}
	for _, c := range parts {
		o.Component = append(o.Component, c.model())
	}
	d.computed = append(d.computed, &Resource{Type: "Observation", ID: id, Infant: d.s.Infant, Identifier: known, kind: kind,
		model: &resource{kind: "Observation", id: id, status: final, body: o}})
	return o
}

// over makes a figure one of the time up to the handover.
func (d *document) over(o *r4.Observation, from time.Time) {
	o.EffectiveDateTime = nil
	o.EffectivePeriod = &r4.Period{Start: ptr(handover.Stamp(from, d.zone)), End: ptr(handover.Stamp(d.Handover.At, d.zone))}
}
