package fhir

import (
	"strconv"
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"
)

func indexed(role string, n int) string { return role + "." + strconv.Itoa(n) }

// skin is one Observation for each site, below one for the round. A site that was not
// listed was not seen, and yields nothing.
func (i *infant) skin(e *entry.Standing) {
	round := fact{role: "skin", category: r4.Exam, code: i.codes.Concept(r4.SkinRound)}
	for _, s := range e.List("sites") {
		round.members = append(round.members, siteRole(s))
	}
	i.observe(e, round)
	for _, s := range e.List("sites") {
		i.skinSite(e, s)
	}
}

func siteRole(s entry.Value) string { return "skin." + s.Field("site").Text }

func (i *infant) skinSite(e *entry.Standing, s entry.Value) {
	finding := s.Field("finding").Text
	f := fact{role: siteRole(s), category: r4.Exam, code: i.codes.Concept(r4.SkinSite),
		site:  i.codes.Concept(r4.Sites[s.Field("site").Text]),
		value: r4.Coded(i.codes.Concept(r4.Findings[finding])), note: s.Field("note").Text}
	for ending, side := range r4.BodySides {
		if strings.HasSuffix(s.Field("site").Text, ending) {
			f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.SkinSide), r4.Coded(i.codes.Concept(side))))
		}
	}
	if r4.Staged[finding] {
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.SkinStage), r4.Coded(i.codes.Concept(r4.Findings[finding]))))
	}
	for _, w := range s.Field("also").List {
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.SkinAlso), r4.Coded(i.codes.Concept(r4.Alsos[w.Text]))))
	}
	if b := s.Field("underBarrier"); b.Type == entry.BoolValue {
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.SkinBarrier), r4.Truth(b.Bool)))
	}
	if t := s.Field("action").Text; t != "" {
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.SkinAction), r4.Told(t)))
	}
	i.observe(e, f)
}

// tube yields what was done or seen, the mark, and the aspirate with its pH.
func (i *infant) tube(e *entry.Standing) {
	d, anew := i.care.at[e.ID], i.anewOf(e)
	f := fact{role: "tube", category: r4.Exam, code: i.codes.Concept(r4.Tube),
		value: r4.Coded(i.codes.Concept(r4.Tubes[e.Text("action")])), focus: d, anew: anew.device}
	f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.TubeUse), r4.Coded(i.codes.Concept(r4.Uses[tubeUseOf(e)]))))
	f.components = i.worded(f.components, e, "route", r4.TubeRoute, r4.Routes)
	if text, ok := r4.NumberOf(e.Fields, "sizeFr"); ok {
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.FrenchSize), r4.Measured(text, r4.French)))
	}
	f.components = i.flagged(f.components, e, "xray", r4.TubeXray)
	i.observe(e, f)
	if text, ok := r4.NumberOf(e.Fields, "markCm"); ok {
		mark := fact{role: "markCm", category: r4.Exam, code: i.codes.Concept(r4.TubeMark), value: r4.Measured(text, r4.Centimetres),
			focus: d, anew: anew.device}
		if d != nil {
			mark.site = i.codes.Concept(d.site)
		}
		if anew.site.at.After(anew.device.at) {
			mark.anew = anew.site
		}
		i.observe(e, mark)
	}
	if w := e.Text("aspirate"); w != "" {
		i.observe(e, fact{role: "aspirate", category: r4.Exam, code: i.codes.Concept(r4.TubeAspirate),
			value: r4.Coded(i.codes.Concept(r4.Aspirates[w])), focus: d, anew: anew.device})
	}
	if text, ok := r4.NumberOf(e.Fields, "aspirateMl"); ok {
		i.observe(e, fact{role: "aspirateMl", category: r4.Exam, code: i.codes.Concept(r4.AspirateMl),
			value: r4.Measured(text, r4.Millilitres), focus: d, anew: anew.device})
	}
	if t := e.Text("aspirateLook"); t != "" {
		i.observe(e, fact{role: "aspirateLook", category: r4.Exam, code: i.codes.Concept(r4.AspirateLook), value: r4.Told(t), focus: d,
			anew: anew.device})
	}
	if text, ok := r4.NumberOf(e.Fields, "ph"); ok {
		i.observe(e, fact{role: "ph", category: r4.Exam, code: i.codes.Concept(r4.TubePH), value: r4.Measured(text, r4.PH), focus: d,
			anew: anew.device})
	} else if e.Text("aspirate") == "none" {
		i.observe(e, fact{role: "ph", category: r4.Exam, code: i.codes.Concept(r4.TubePH),
			value: r4.Missing(i.codes.Concept(r4.NoAspirate)), focus: d, anew: anew.device})
	}
}

// head says beside the measure what makes it unreliable, in an Observation of its own:
// the components of a vital sign may only be quantities in its profile's units.
func (i *infant) head(e *entry.Standing) {
	text, ok := r4.NumberOf(e.Fields, "circumferenceCm")
	if !ok {
		return
	}
	f := fact{role: "circumferenceCm", category: r4.VitalSigns, code: i.codes.Concept(r4.Head), value: r4.Measured(text, r4.Centimetres)}
	why := e.Text("unreliable")
	if why != "" {
		f.note = "unreliable: " + r4.Causes[why].Text
	}
	i.observe(e, f)
	if why != "" {
		i.observe(e, fact{role: "unreliable", category: r4.Exam, code: i.codes.Concept(r4.Unreliable),
			value:   r4.Coded(i.codes.Concept(r4.Causes[why])),
			derived: []string{i.idOf(e, "circumferenceCm")}})
	}
}

func (i *infant) weight(e *entry.Standing) {
	i.numbers(e, []numeric{{"weightG", r4.Weight, r4.Grams, r4.VitalSigns}})
}

func (i *infant) bonnet(e *entry.Standing) {
	d, action := i.care.at[e.ID], r4.Bonnets[e.Text("action")]
	f := fact{role: "bonnet", category: r4.Exam, code: i.codes.Concept(r4.Bonnet), value: r4.Coded(i.codes.Concept(action)), device: d,
		anew: i.anewOf(e).device}
	size := e.Text("size")
	if size == "" && d != nil {
		size = d.size
	}
	if size != "" {
		f.value = r4.Coded(i.codes.Said(action, sizedText(action.Text, size)))
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.InterfaceSize), r4.Told(size)))
	}
	i.observe(e, f)
}

func (i *infant) careGiven(e *entry.Standing) {
	if i.leaves(handover.LeaveCares) {
		return
	}
	f := fact{role: "care", category: r4.Procedure, code: i.codes.Concept(r4.Care),
		value: r4.Coded(i.codes.Care(e.Text("what"))), note: e.Text("text")}
	f.components = i.worded(f.components, e, "amount", r4.CareAmount, r4.Amounts)
	f.components = i.noted(f.components, e, "look", r4.CareLook)
	f.components = i.worded(f.components, e, "side", r4.CareSide, r4.Sides)
	f.components = i.worded(f.components, e, "state", r4.CareState, r4.CareStates)
	i.observe(e, f)
}

func (i *infant) note(e *entry.Standing) {
	f := fact{role: "note", category: r4.Exam, code: i.codes.Concept(r4.Note), value: r4.Told(e.Text("text"))}
	f.components = i.flagged(f.components, e, "readOut", r4.ReadOut)
	i.observe(e, f)
}

// wasTold is a note of who was told what, and what was said back.
func (i *infant) wasTold(e *entry.Standing) {
	f := fact{role: "told", category: r4.Exam, code: i.codes.Concept(r4.WasTold), value: r4.Told(e.Text("about"))}
	f.components = i.noted(f.components, e, "whom", r4.ToldWhom)
	f.components = i.noted(f.components, e, "answer", r4.ToldAnswer)
	i.observe(e, f)
}

// outlook is what was charted, whole; one without any content yields nothing.
func (i *infant) outlook(e *entry.Standing) {
	f := fact{role: "outlook", category: r4.Survey, code: i.codes.Concept(r4.Outlook)}
	if w := e.Text("severity"); w != "" {
		f.value = r4.Coded(i.codes.Concept(r4.Severities[w]))
	}
	for _, x := range e.List("ifThen") {
		f.components = append(f.components, r4.ComponentOf(i.codes.Said(r4.IfThen, "If "+x.Field("if").Text),
			r4.Told(x.Field("then").Text)))
	}
	f.components = i.noted(f.components, e, "callFor", r4.CallFor)
	if f.value == (r4.Value{}) && f.components == nil {
		return
	}
	i.observe(e, f)
}
