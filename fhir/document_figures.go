package fhir

import (
	"strconv"
	"strings"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// withinError is said of growth that the measuring error alone could make.
const withinError = "within measuring error"

// figure says how a fact of the handover's table is told as an Observation of its
// document.
type figure struct {
	kind string // of the document's sections: window, episode, age, tube
	role string // what its id is made of; * is the word in the fact's path
	code r4.Concept
	unit r4.Unit
}

// figures are the facts that the engine computed for one handover, by path. They stand
// in its document and nowhere else.
var figures = map[string]figure{
	"fio2.minPercent":      {"window", "fio2.minimum", r4.FiO2Lowest, r4.Percent},
	"fio2.maxPercent":      {"window", "fio2.maximum", r4.FiO2Highest, r4.Percent},
	"fio2.meanPercent":     {"window", "fio2.mean", r4.FiO2Mean, r4.Percent},
	"fio2.rises":           {kind: "window", role: "fio2.rises", code: r4.FiO2Rises},
	"spo2":                 {kind: "window", role: "spo2", code: r4.SpO2Counts},
	"episodes.window":      {kind: "episode", role: "episodes.window", code: r4.EpisodesWindow},
	"episodes.day":         {kind: "episode", role: "episodes.day", code: r4.EpisodesDay},
	"hoursUnder.*":         {"window", "hours.*", r4.HoursUnder, r4.Hours},
	"age.dayOfLife":        {kind: "age", role: "day-of-life", code: r4.DayOfLife},
	"weight.z":             {"age", "weight.z", r4.WeightZ, r4.ZScore},
	"weight.centile":       {"age", "weight.centile", r4.WeightCentile, r4.Centile},
	"head.z":               {"age", "head.z", r4.HeadZ, r4.ZScore},
	"head.centile":         {"age", "head.centile", r4.HeadCentile, r4.Centile},
	"head.growthCmPerWeek": {"age", "head.growth", r4.HeadGrowth, r4.CmWeek},
	"tubes.*.moved":        {kind: "tube", role: "tube.*.moved", code: r4.TubeMoved},
	"tubes.*.estimateCm":   {"tube", "tube.*.estimate", r4.TubeEstimate, r4.Centimetres},
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

// figuresOf adds the figure of a fact, and those of everything below it.
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

// figureOf is the figure of a fact. Of several counts the first is its value, and the
// others are its components.
func (d *document) figureOf(x figure, f *handover.Fact) *models.Observation {
	switch v := f.Value.(type) {
	case entry.Decimal:
		return d.figure(x.kind, x.role, x.code, r4.Measured(v.String(), x.unit))
	case int:
		return d.figure(x.kind, x.role, x.code, r4.Counted(v))
	case bool:
		return d.figure(x.kind, x.role, x.code, r4.Truth(v))
	}
	var others []r4.Component
	for _, part := range f.Parts[1:] {
		others = append(others, r4.ComponentOf(d.codes.Concept(countCode(part.Name)), r4.Counted(part.Value.(int))))
	}
	return d.figure(x.kind, x.role, x.code, r4.Counted(f.Parts[0].Value.(int)), others...)
}

func countCode(word string) r4.Concept {
	for _, codes := range []map[string]r4.Concept{targetCounts, r4.Signs, r4.Recoveries} {
		if code, ok := codes[word]; ok {
			return code
		}
	}
	return r4.Concept{}
}

var targetCounts = map[string]r4.Concept{"below": r4.SpO2Below, "inTarget": r4.SpO2Within, "above": r4.SpO2Above,
	"noTarget": r4.SpO2NoTarget}

// qualify says of a figure over which time it is, at which site, by which method.
func (d *document) qualify(o *models.Observation, f *handover.Fact, root, word string) {
	dayBefore := d.Handover.At.Add(-24 * time.Hour)
	switch {
	case f.Path == "episodes.window":
		d.over(o, d.s.Since)
	case f.Path == "episodes.day":
		d.over(o, dayBefore)
	case root == "hoursUnder":
		o.BodySite = d.codes.Concept(r4.Sites[word])
		d.over(o, dayBefore)
	case f.Name == "z", f.Name == "centile":
		o.Method = r4.Texted(f.Remark) // the growth standard
	case f.Name == "growthCmPerWeek" && d.s.Head.Value.Growth.WithinError:
		o.Note = []models.Annotation{{Text: withinError}}
	case root == "tubes": // two may be in
		which := r4.ComponentOf(d.codes.Concept(r4.TubeUse), r4.Coded(d.codes.Concept(r4.Uses[word])))
		o.Component = append(o.Component, which.Element())
		if by := handover.Find(d.s.Facts(), "tubes."+word+".estimateBy"); by != nil && f.Name == "estimateCm" {
			o.Method = r4.Texted(by.Value.(string))
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
		d.figure("age", "postmenstrual-age", r4.Postmenstrual, r4.Measured(strconv.Itoa(7*w+n), r4.Days))
	case !exact:
		d.figure("age", "postmenstrual-age", r4.Postmenstrual, r4.Measured(week, r4.Weeks))
	}
}

// figure adds a computed Observation of the moment of the handover.
func (d *document) figure(kind, role string, code r4.Concept, v r4.Value, parts ...r4.Component) *models.Observation {
	id := r4.NamedID(d.id, role).String()
	known := d.builder.own(d.id.String() + "." + role)
	o := &models.Observation{
		Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)},
		Category:   []models.CodeableConcept{*d.codes.Concept(r4.Survey)},
		Code:       *d.codes.Concept(code), Subject: d.subject, Encounter: d.stay(),
		EffectiveDateTime: r4.Ptr(entry.Stamp(d.Handover.At, d.zone)),
		Issued:            r4.Ptr(entry.Stamp(d.written(), d.zone)), ValueQuantity: v.Quantity,
		ValueInteger: v.Whole, ValueBoolean: v.Truth,
		Method: d.codes.Concept(r4.ComputedByTool), Device: r4.Literal("Device", d.software.ID),
	}
	if kind == "window" {
		d.over(o, d.s.Since)
	}
	for _, c := range parts {
		o.Component = append(o.Component, c.Element())
	}
	d.computed = append(d.computed, &r4.Resource{Type: "Observation", ID: id, Infant: d.s.Infant, Identifier: known, Kind: kind,
		Model: &r4.Model{Kind: "Observation", ID: id, Status: r4.Final, Body: o}})
	return o
}

// over makes a figure one of the time that ends with the handover.
func (d *document) over(o *models.Observation, from time.Time) {
	o.EffectiveDateTime = nil
	o.EffectivePeriod = &models.Period{Start: r4.Ptr(entry.Stamp(from, d.zone)), End: r4.Ptr(entry.Stamp(d.Handover.At, d.zone))}
}
