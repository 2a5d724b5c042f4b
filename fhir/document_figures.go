package fhir

import (
	"strconv"
	"strings"
	"time"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// withinError is said of growth that the measuring error alone could make.
const withinError = "within measuring error"

// figures are what the engine computed for this handover, one Observation each,
// named after the handover: they stand in its document and nowhere else.
func (d *document) figures() {
	s := d.s
	if f := s.FiO2.Value; f != nil {
		d.figure("window", "fio2.minimum", r4.FiO2Lowest, r4.Measured(f.MinPercent.String(), r4.Percent))
		d.figure("window", "fio2.maximum", r4.FiO2Highest, r4.Measured(f.MaxPercent.String(), r4.Percent))
		if m := f.MeanPercent.Value; m != nil {
			d.figure("window", "fio2.mean", r4.FiO2Mean, r4.Measured(m.String(), r4.Percent))
		}
		d.figure("window", "fio2.rises", r4.FiO2Rises, r4.Counted(f.Rises))
	}
	if c := s.SpO2.Value; c != nil {
		d.figure("window", "spo2", r4.SpO2Counts, r4.Counted(c.Count),
			d.count(r4.SpO2Below, c.Below), d.count(r4.SpO2Within, c.InTarget), d.count(r4.SpO2Above, c.Above), d.count(r4.SpO2NoTarget, c.NoTarget))
	}
	dayBefore := d.Handover.At.Add(-24 * time.Hour)
	d.over(d.episodes("episodes.window", r4.EpisodesWindow, s.Episodes.Window), s.Since)
	d.over(d.episodes("episodes.day", r4.EpisodesDay, s.Episodes.Day), dayBefore)
	if h := s.HoursUnder.Value; h != nil {
		for _, x := range *h {
			o := d.figure("window", "hours."+x.Site, r4.HoursUnder, r4.Measured(x.Hours.String(), r4.Hours))
			o.BodySite = d.codes.Concept(r4.Sites[x.Site])
			d.over(o, dayBefore)
		}
	}
	d.ages()
	if w := s.Weight.Value; w != nil {
		d.place("weight", r4.WeightZ, r4.WeightCentile, w.Score)
	}
	if h := s.Head.Value; h != nil {
		d.place("head", r4.HeadZ, r4.HeadCentile, h.Score)
		if h.Growth != nil {
			o := d.figure("age", "head.growth", r4.HeadGrowth, r4.Measured(h.Growth.CmPerWeek.String(), r4.CmWeek))
			if h.Growth.WithinError {
				o.Note = []models.Annotation{{Text: withinError}}
			}
		}
	}
	if all := s.Tubes.Value; all != nil {
		for _, t := range *all {
			which := r4.ComponentOf(d.codes.Concept(r4.TubeUse), r4.Coded(d.codes.Concept(r4.Uses[t.Use]))) // two may be in
			d.figure("tube", "tube."+t.Use+".moved", r4.TubeMoved, r4.Truth(t.Moved), which)
			if cmText := t.EstimateCm.Value; cmText != nil {
				d.figure("tube", "tube."+t.Use+".estimate", r4.TubeEstimate, r4.Measured(cmText.String(), r4.Centimetres), which).Method = r4.Texted(t.EstimateBy)
			}
		}
	}
}

func (d *document) ages() {
	d.figure("age", "day-of-life", r4.DayOfLife, r4.Counted(d.s.Age.DayOfLife))
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

// place is where a measure lies on a growth standard, which the method names.
func (d *document) place(role string, z, c r4.Concept, at handover.Score) {
	if at.Z != nil {
		d.figure("age", role+".z", z, r4.Measured(at.Z.String(), r4.ZScore)).Method = r4.Texted(at.Standard)
	}
	if at.Centile != nil {
		d.figure("age", role+".centile", c, r4.Measured(at.Centile.String(), r4.Centile)).Method = r4.Texted(at.Standard)
	}
}

func (d *document) episodes(role string, code r4.Concept, n handover.EpisodeCount) *models.Observation {
	var parts []r4.Component
	for i, w := range handover.Signs {
		parts = append(parts, d.count(r4.Signs[w], n.BySign[i]))
	}
	for i, w := range handover.Recoveries {
		parts = append(parts, d.count(r4.Recoveries[w], n.ByRecovered[i]))
	}
	return d.figure("episode", role, code, r4.Counted(n.Count), parts...)
}

func (d *document) count(code r4.Concept, n int) r4.Component {
	return r4.ComponentOf(d.codes.Concept(code), r4.Counted(n))
}

// figure adds a computed Observation of the moment of the handover.
func (d *document) figure(kind, role string, code r4.Concept, v r4.Value, parts ...r4.Component) *models.Observation {
	id := r4.NamedID(d.id, role).String()
	known := d.builder.own(d.id.String() + "." + role)
	o := &models.Observation{
		Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)}, Category: []models.CodeableConcept{*d.codes.Concept(r4.Survey)},
		Code: *d.codes.Concept(code), Subject: d.subject, EffectiveDateTime: r4.Ptr(handover.Stamp(d.Handover.At, d.zone)),
		Issued: r4.Ptr(handover.Stamp(d.written(), d.zone)), ValueQuantity: v.Quantity, ValueInteger: v.Whole, ValueBoolean: v.Truth,
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

// over makes a figure one of the time up to the handover.
func (d *document) over(o *models.Observation, from time.Time) {
	o.EffectiveDateTime = nil
	o.EffectivePeriod = &models.Period{Start: r4.Ptr(handover.Stamp(from, d.zone)), End: r4.Ptr(handover.Stamp(d.Handover.At, d.zone))}
}
