package fhir

import (
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
}

// figures are the facts that the engine computed for a handover, by path. They
// stand in its document and nowhere else.
var figures = map[string]figure{
	"fio2.minPercent":      {"window", "fio2.minimum", fio2Lowest, percent},
	"fio2.maxPercent":      {"window", "fio2.maximum", fio2Highest, percent},
	"fio2.meanPercent":     {"window", "fio2.mean", fio2Mean, percent},
	"fio2.rises":           {kind: "window", role: "fio2.rises", code: fio2Rises},
	"spo2":                 {kind: "window", role: "spo2", code: spo2Counts},
	"episodes.window":      {kind: "episode", role: "episodes.window", code: episodesWindow},
	"episodes.day":         {kind: "episode", role: "episodes.day", code: episodesDay},
	"hoursUnder.*":         {"window", "hours.*", hoursUnder, hours},
	"age.dayOfLife":        {kind: "age", role: "day-of-life", code: dayOfLife},
	"weight.z":             {"age", "weight.z", weightZ, zScore},
	"weight.centile":       {"age", "weight.centile", weightCentile, centile},
	"head.z":               {"age", "head.z", headZ, zScore},
	"head.centile":         {"age", "head.centile", headCentile, centile},
	"head.growthCmPerWeek": {"age", "head.growth", headGrowth, cmWeek},
	"tubes.*.moved":        {kind: "tube", role: "tube.*.moved", code: tubeMoved},
	"tubes.*.estimateCm":   {"tube", "tube.*.estimate", tubeEstimate, cm},
}

// figured are the facts that figures are told of, in the document's order.
var figured = []string{"fio2", "spo2", "episodes", "hoursUnder", "age.dayOfLife", "age.postmenstrual", "weight", "head", "tubes"}

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
	path := strings.Split(f.Path, ".")
	word := ""
	if len(path) > 1 && (path[0] == "hoursUnder" || path[0] == "tubes") {
		word, path[1] = path[1], "*"
	}
	if x, ok := figures[strings.Join(path, ".")]; ok && f.State == handover.Charted {
		x.role = strings.ReplaceAll(x.role, "*", word)
		d.qualify(d.figureOf(x, f), f, path[0], word)
		return
	}
	for i := range f.Parts {
		d.figuresOf(&f.Parts[i])
	}
	for i := range f.Items {
		d.figuresOf(&f.Items[i])
	}
}

// figureOf is the figure of a fact; of several counts the first is its value, the others
// are its parts.
func (d *document) figureOf(x figure, f *handover.Fact) *r4.Observation {
	switch v := f.Value.(type) {
	case handover.Decimal:
		return d.figure(x.kind, x.role, x.code, measured(v.String(), x.unit))
	case int:
		return d.figure(x.kind, x.role, x.code, counted(v))
	case bool:
		return d.figure(x.kind, x.role, x.code, truth(v))
	}
	var others []component
	for _, part := range f.Parts[1:] {
		others = append(others, component{d.codes.concept(countCode(part.Name)), counted(part.Value.(int))})
	}
	return d.figure(x.kind, x.role, x.code, counted(f.Parts[0].Value.(int)), others...)
}

func countCode(word string) concept {
	for _, codes := range []map[string]concept{targetCounts, signs, recoveries} {
		if code, ok := codes[word]; ok {
			return code
		}
	}
	return concept{}
}

var targetCounts = map[string]concept{"below": spo2Below, "inTarget": spo2Within, "above": spo2Above, "noTarget": spo2NoTarget}

// qualify says of a figure over which time it is, at which site, by which method.
func (d *document) qualify(o *r4.Observation, f *handover.Fact, root, word string) {
	dayBefore := d.Handover.At.Add(-24 * time.Hour)
	switch {
	case f.Path == "episodes.window":
		d.over(o, d.s.Since)
	case f.Path == "episodes.day":
		d.over(o, dayBefore)
	case root == "hoursUnder":
		o.BodySite = d.codes.concept(sites[word])
		d.over(o, dayBefore)
	case f.Name == "z", f.Name == "centile":
		o.Method = texted(f.Remark) // the growth standard
	case f.Name == "growthCmPerWeek" && d.s.Head.Value.Growth.WithinError:
		o.Note = []r4.Annotation{{Text: withinError}}
	case root == "tubes": // two may be in
		which := component{d.codes.concept(tubeUse), coded(d.codes.concept(uses[word]))}
		o.Component = append(o.Component, which.model())
		if by := handover.Find(d.s.Facts(), "tubes."+word+".estimateBy"); by != nil && f.Name == "estimateCm" {
			o.Method = texted(by.Value.(string))
		}
	}
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
