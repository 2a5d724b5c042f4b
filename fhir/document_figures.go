package fhir

import (
	"strconv"
	"strings"
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

// withinError is said of growth that the measuring error alone could make.
const withinError = "within measuring error"

// figures are what the engine computed for this handover, one Observation each,
// named after the handover: they stand in its document and nowhere else.
func (d *document) figures() {
	s := d.s
	if f := s.FiO2.Value; f != nil {
		d.figure("window", "fio2.minimum", fio2Lowest, measured(f.MinPercent.String(), percent))
		d.figure("window", "fio2.maximum", fio2Highest, measured(f.MaxPercent.String(), percent))
		if m := f.MeanPercent.Value; m != nil {
			d.figure("window", "fio2.mean", fio2Mean, measured(m.String(), percent))
		}
		d.figure("window", "fio2.rises", fio2Rises, counted(f.Rises))
	}
	if c := s.SpO2.Value; c != nil {
		d.figure("window", "spo2", spo2Counts, counted(c.Count),
			d.count(spo2Below, c.Below), d.count(spo2Within, c.InTarget), d.count(spo2Above, c.Above), d.count(spo2NoTarget, c.NoTarget))
	}
	dayBefore := d.Handover.At.Add(-24 * time.Hour)
	d.over(d.episodes("episodes.window", episodesWindow, s.Episodes.Window), s.Since)
	d.over(d.episodes("episodes.day", episodesDay, s.Episodes.Day), dayBefore)
	if h := s.HoursUnder.Value; h != nil {
		for _, x := range *h {
			o := d.figure("window", "hours."+x.Site, hoursUnder, measured(x.Hours.String(), hours))
			o.BodySite = d.codes.concept(sites[x.Site])
			d.over(o, dayBefore)
		}
	}
	d.ages()
	if w := s.Weight.Value; w != nil {
		d.place("weight", weightZ, weightCentile, w.Score)
	}
	if h := s.Head.Value; h != nil {
		d.place("head", headZ, headCentile, h.Score)
		if h.Growth != nil {
			o := d.figure("age", "head.growth", headGrowth, measured(h.Growth.CmPerWeek.String(), cmWeek))
			if h.Growth.WithinError {
				o.Note = []r4.Annotation{{Text: withinError}}
			}
		}
	}
	if all := s.Tubes.Value; all != nil {
		for _, t := range *all {
			which := component{d.codes.concept(tubeUse), coded(d.codes.concept(uses[t.Use]))} // two may be in
			d.figure("tube", "tube."+t.Use+".moved", tubeMoved, truth(t.Moved), which)
			if cmText := t.EstimateCm.Value; cmText != nil {
				d.figure("tube", "tube."+t.Use+".estimate", tubeEstimate, measured(cmText.String(), cm), which).Method = texted(t.EstimateBy)
			}
		}
	}
}

func (d *document) ages() {
	d.figure("age", "day-of-life", dayOfLife, counted(d.s.Age.DayOfLife))
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

// place is where a measure lies on a growth standard, which the method names.
func (d *document) place(role string, z, c concept, at handover.Score) {
	if at.Z != nil {
		d.figure("age", role+".z", z, measured(at.Z.String(), zScore)).Method = texted(at.Standard)
	}
	if at.Centile != nil {
		d.figure("age", role+".centile", c, measured(at.Centile.String(), centile)).Method = texted(at.Standard)
	}
}

func (d *document) episodes(role string, code concept, n handover.EpisodeCount) *r4.Observation {
	var parts []component
	for i, w := range entry.Signs {
		parts = append(parts, d.count(signs[w], n.BySign[i]))
	}
	for i, w := range entry.Recoveries {
		parts = append(parts, d.count(recoveries[w], n.ByRecovered[i]))
	}
	return d.figure("episode", role, code, counted(n.Count), parts...)
}

func (d *document) count(code concept, n int) component {
	return component{d.codes.concept(code), counted(n)}
}

// figure adds a computed Observation of the moment of the handover.
func (d *document) figure(kind, role string, code concept, v value, parts ...component) *r4.Observation {
	id := named(d.id, role).String()
	known := d.builder.own(d.id.String() + "." + role)
	o := &r4.Observation{
		Identifier: []r4.Identifier{*identifier(known.System, known.Value)}, Category: []r4.CodeableConcept{*d.codes.concept(survey)},
		Code: *d.codes.concept(code), Subject: d.subject, EffectiveDateTime: ptr(entry.Stamp(d.Handover.At, d.zone)),
		Issued: ptr(entry.Stamp(d.written(), d.zone)), ValueQuantity: v.quantity, ValueInteger: v.whole, ValueBoolean: v.truth,
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
	o.EffectivePeriod = &r4.Period{Start: ptr(entry.Stamp(from, d.zone)), End: ptr(entry.Stamp(d.Handover.At, d.zone))}
}
