package fhir

import (
	"strings"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover/entry"
)

// encounter adds a stay, under the hospital's number of it once there is one that
// no other stay has: ids derive from the admission, so that the number becoming
// known is a change of this one resource.
func (i *infant) encounter(stay *entry.Stay) {
	e := stay.Admission
	id := i.idOf(e, "encounter")
	own := i.builder.own(e.ID + ".encounter")
	key := own
	m := &r4.Encounter{Class: inpatient.coding(), Subject: i.subject, Period: &r4.Period{Start: ptr(dateTime(e.At))}}
	if visit := i.visit(); visit != "" && i.visits[visit] < 2 && (i.policy.FHIR.Identifiers["visit"].System != "" || !i.ask.whole) {
		key = Identifier{i.system("visit"), visit}
		m.Identifier = append(m.Identifier, *identifier(key.System, key.Value))
	}
	m.Identifier = append(m.Identifier, *identifier(own.System, own.Value))
	status := ongoing
	m.Location = i.places(stay)
	if d := stay.Discharge; d != nil {
		status, m.Period.End = finished, ptr(dateTime(d.At))
		left := leavings[d.Text("to")]
		said := left.text
		if place := d.Text("place"); place != "" {
			said += ", " + place
		}
		m.Hospitalization = &r4.EncounterHospitalization{DischargeDisposition: i.codes.said(left, said)}
	}
	i.facts = append(i.facts, &Resource{Type: "Encounter", ID: id, Infant: i.record.Infant, Identifier: key, kind: "encounter", entry: e.ID,
		model: &resource{kind: "Encounter", id: id, status: status, body: m}})
}

// visit is the hospital's number of the stay that is built, empty without any.
func (i *infant) visit() (number string) {
	for _, e := range i.entries {
		if (e.Kind == "admission" || e.Kind == "identity") && e.Has("visit") {
			number = e.Text("visit")
		}
	}
	return number
}

// places are the cots of a stay, one after the other.
func (i *infant) places(stay *entry.Stay) []r4.EncounterLocation {
	var out []r4.EncounterLocation
	var last *entry.Standing
	end := func(at entry.Moment) {
		if n := len(out); n > 0 {
			out[n-1].Status, out[n-1].Period.End = ptr(r4.EncounterLocationStatusCompleted), ptr(dateTime(at))
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
		out = append(out, r4.EncounterLocation{Location: *i.cot(e.Text("cot")), Status: ptr(r4.EncounterLocationStatusActive),
			Period: &r4.Period{Start: ptr(dateTime(e.At))}})
		last = e
	}
	if stay.Discharge != nil {
		end(stay.Discharge.At)
	}
	return out
}

func narrateEncounter(m *r4.Encounter, status string) *r4.Narrative {
	p := newPage()
	p.line("Stay", saidPeriod(m.Period), status)
	for _, l := range m.Location {
		p.line(pair(bed.text, of(l.Location.Display)), saidPeriod(l.Period))
	}
	if h := m.Hospitalization; h != nil {
		p.line(pair("left to", strings.TrimSpace(textOf(h.DischargeDisposition))))
	}
	return p.done()
}
