package fhir

import (
	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// encounter adds a stay. It stands under the hospital's number of the stay once there
// is one that no other stay has. Its id follows from the admission, so that a number
// that becomes known changes this one resource.
func (i *infant) encounter(stay *entry.Stay) {
	e := stay.Admission
	id := i.idOf(e, "encounter")
	own := i.builder.own(e.ID + ".encounter")
	key := own
	m := &models.Encounter{Class: r4.Inpatient.Coding(), Subject: i.subject, Period: &models.Period{Start: r4.Ptr(r4.DateTime(e.At))}}
	alone := i.besides == nil && i.visits[i.visit()] < 2
	if visit := i.visit(); visit != "" && alone && (i.policy.FHIR.Identifiers["visit"].System != "" || !i.ask.whole) {
		key = r4.Identifier{System: i.system("visit"), Value: visit}
		m.Identifier = append(m.Identifier, *r4.IdentifierOf(key.System, key.Value))
	}
	m.Identifier = append(m.Identifier, *r4.IdentifierOf(own.System, own.Value))
	status := r4.Ongoing
	m.Location = i.places(stay)
	if d := stay.Discharge; d != nil {
		status, m.Period.End = r4.Finished, r4.Ptr(r4.DateTime(d.At))
		left := r4.Leavings[d.Text("to")]
		said := left.Text
		if place := d.Text("place"); place != "" {
			said += ", " + place
		}
		m.Hospitalization = &models.EncounterHospitalization{DischargeDisposition: i.codes.Said(left, said)}
	}
	i.facts = append(i.facts, &r4.Resource{Type: "Encounter", ID: id, Infant: i.record.Infant, Identifier: key,
		Kind: "encounter", Entry: e.ID,
		Model: &r4.Model{Kind: "Encounter", ID: id, Status: status, Body: m}})
}

// filing refers to the stay that is built, for what has an element for it: to the
// Encounter if one is sent, else to the hospital's by the number of the stay. It is nil
// where nothing tells the stay from another: without a number, or with one that two
// stays have.
func (i *infant) filing(stay *entry.Stay) *models.Reference {
	if i.sends("Encounter") {
		return i.to("Encounter", i.idOf(stay.Admission, "encounter"), i.builder.own(stay.Admission.ID+".encounter"), false)
	}
	visit := i.visit()
	if visit == "" || i.visits[visit] > 1 {
		return nil
	}
	return &models.Reference{Type: r4.Ptr("Encounter"), Identifier: r4.IdentifierOf(i.system("visit"), visit)}
}

// places are the cots of a stay, one after the other.
func (i *infant) places(stay *entry.Stay) []models.EncounterLocation {
	var out []models.EncounterLocation
	var last *entry.Standing
	end := func(at entry.Moment) {
		if n := len(out); n > 0 {
			out[n-1].Status, out[n-1].Period.End = r4.Ptr(models.EncounterLocationStatusCompleted), r4.Ptr(r4.DateTime(at))
		}
	}
	admitted := false
	for _, e := range i.entries {
		admitted = admitted || e.ID == stay.Admission.ID
		moved := e.ID == stay.Admission.ID || e.Kind == "move" && admitted
		if !moved || last != nil && last.Text("cot") == e.Text("cot") {
			continue
		}
		end(e.At)
		out = append(out, models.EncounterLocation{Location: *i.cot(e.Text("cot")), Status: r4.Ptr(models.EncounterLocationStatusActive),
			Period: &models.Period{Start: r4.Ptr(r4.DateTime(e.At))}})
		last = e
	}
	if stay.Discharge != nil {
		end(stay.Discharge.At)
	}
	return out
}
