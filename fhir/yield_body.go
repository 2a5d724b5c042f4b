package fhir

import (
	"strconv"

	"cotline/handover/entry"
)

func indexed(role string, n int) string { return role + "." + strconv.Itoa(n) }

// skin is one Observation a site, under one for the round. A site that was not
// listed was not seen, and yields nothing.
func (i *infant) skin(e *entry.Standing) {
	round := fact{role: "skin", category: exam, code: i.codes.concept(skinRound)}
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
	f := fact{role: siteRole(s), category: exam, code: i.codes.concept(skinSite), site: i.codes.concept(sites[s.Field("site").Text]),
		value: coded(i.codes.concept(findings[finding])), note: s.Field("note").Text}
	if staged[finding] {
		f.components = append(f.components, component{i.codes.concept(skinStage), coded(i.codes.concept(findings[finding]))})
	}
	for _, w := range s.Field("also").List {
		f.components = append(f.components, component{i.codes.concept(skinAlso), coded(i.codes.concept(alsos[w.Text]))})
	}
	if b := s.Field("underBarrier"); b.Type == entry.BoolValue {
		f.components = append(f.components, component{i.codes.concept(skinBarrier), truth(b.Bool)})
	}
	if t := s.Field("action").Text; t != "" {
		f.components = append(f.components, component{i.codes.concept(skinAction), told(t)})
	}
	i.observe(e, f)
}

// tube yields what was done or seen, the mark, and the aspirate with its pH.
func (i *infant) tube(e *entry.Standing) {
	d, anew := i.care.at[e.ID], i.anewOf(e)
	f := fact{role: "tube", category: exam, code: i.codes.concept(tube), value: coded(i.codes.concept(tubes[e.Text("action")])), focus: d, anew: anew.device}
	f.components = append(f.components, component{i.codes.concept(tubeUse), coded(i.codes.concept(uses[tubeUseOf(e)]))})
	f.components = i.worded(f.components, e, "route", tubeRoute, routes)
	if text, ok := number(e.Fields, "sizeFr"); ok {
		f.components = append(f.components, component{i.codes.concept(frenchSize), measured(text, french)})
	}
	f.components = i.flagged(f.components, e, "xray", tubeXray)
	i.observe(e, f)
	if text, ok := number(e.Fields, "markCm"); ok {
		mark := fact{role: "markCm", category: exam, code: i.codes.concept(tubeMark), value: measured(text, cm), focus: d, anew: anew.device}
		if d != nil {
			mark.site = i.codes.concept(d.site)
		}
		if anew.site.at.After(anew.device.at) {
			mark.anew = anew.site
		}
		i.observe(e, mark)
	}
	if w := e.Text("aspirate"); w != "" {
		i.observe(e, fact{role: "aspirate", category: exam, code: i.codes.concept(tubeAsp), value: coded(i.codes.concept(aspirates[w])), focus: d, anew: anew.device})
	}
	if text, ok := number(e.Fields, "ph"); ok {
		i.observe(e, fact{role: "ph", category: exam, code: i.codes.concept(tubePH), value: measured(text, pH), focus: d, anew: anew.device})
	} else if e.Text("aspirate") == "none" {
		i.observe(e, fact{role: "ph", category: exam, code: i.codes.concept(tubePH), value: missing(i.codes.concept(noAspirate)), focus: d, anew: anew.device})
	}
}

// head keeps what makes it unreliable beside it: a vital sign's components may
// only be quantities in the profile's own units.
func (i *infant) head(e *entry.Standing) {
	text, ok := number(e.Fields, "circumferenceCm")
	if !ok {
		return
	}
	f := fact{role: "circumferenceCm", category: vitalSigns, code: i.codes.concept(head), value: measured(text, cm)}
	why := e.Text("unreliable")
	if why != "" {
		f.note = "unreliable: " + causes[why].text
	}
	i.observe(e, f)
	if why != "" {
		i.observe(e, fact{role: "unreliable", category: exam, code: i.codes.concept(unreliable), value: coded(i.codes.concept(causes[why])),
			derived: []string{i.idOf(e, "circumferenceCm")}})
	}
}

func (i *infant) weight(e *entry.Standing) {
	i.numbers(e, []numeric{{"weightG", weight, grams, vitalSigns}})
}

func (i *infant) bonnet(e *entry.Standing) {
	d, action := i.care.at[e.ID], bonnets[e.Text("action")]
	f := fact{role: "bonnet", category: exam, code: i.codes.concept(bonnet), value: coded(i.codes.concept(action)), device: d, anew: i.anewOf(e).device}
	size := e.Text("size")
	if size == "" && d != nil {
		size = d.size
	}
	if size != "" {
		f.value = coded(i.codes.said(action, sizedText(action.text, size)))
		f.components = append(f.components, component{i.codes.concept(interfaceSize), told(size)})
	}
	i.observe(e, f)
}

func (i *infant) careGiven(e *entry.Standing) {
	f := fact{role: "care", category: procedure, code: i.codes.concept(care), value: coded(i.codes.concept(cares[e.Text("what")])), note: e.Text("text")}
	f.components = i.worded(f.components, e, "side", careSide, sides)
	f.components = i.worded(f.components, e, "state", careState, careStates)
	i.observe(e, f)
}

func (i *infant) note(e *entry.Standing) {
	f := fact{role: "note", category: exam, code: i.codes.concept(note), value: told(e.Text("text"))}
	f.components = i.flagged(f.components, e, "readOut", readOut)
	i.observe(e, f)
}

// outlook is what was charted, whole; one without any content yields nothing.
func (i *infant) outlook(e *entry.Standing) {
	f := fact{role: "outlook", category: survey, code: i.codes.concept(outlook)}
	if w := e.Text("severity"); w != "" {
		f.value = coded(i.codes.concept(severities[w]))
	}
	for _, x := range e.List("ifThen") {
		f.components = append(f.components, component{i.codes.said(ifThen, "If "+x.Field("if").Text), told(x.Field("then").Text)})
	}
	f.components = i.noted(f.components, e, "callFor", callFor)
	if f.value == (value{}) && f.components == nil {
		return
	}
	i.observe(e, f)
}
