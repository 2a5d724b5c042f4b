package fhir

import (
	"cotline/handover"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// fact is what an entry says, as one Observation. Its role names it within the
// entry: id and business identifier come of both.
type fact struct {
	role       string
	category   concept
	code       *r4.CodeableConcept
	value      value
	components []component
	site       *r4.CodeableConcept
	method     *r4.CodeableConcept
	device     *device
	focus      *device
	members    []string // roles of the same entry
	derived    []string // ids of other Observations
	from       string   // effective, where it is not the entry's at
	until      string   // and its end, where it has one
	note       string
	anew       another // than had been told, by other entries
}

// observe adds a fact of an entry. Effective is when it happened; issued is since
// when the version that stands has stood; a corrected one keeps its id and says so.
// A computed fact also stands on other entries: it is issued with the last of them.
func (i *infant) observe(e *handover.Standing, f fact, also ...*handover.Standing) {
	id, err := ofEntry(e.ID, f.role)
	if err != nil {
		i.err = err
		return
	}
	known := i.builder.own(e.ID + "." + f.role)
	o := &r4.Observation{
		Identifier: []r4.Identifier{*identifier(known.System, known.Value)},
		Category:   []r4.CodeableConcept{*i.codes.concept(f.category)},
		Code:       *f.code, Subject: i.subject,
		ValueQuantity: f.value.quantity, ValueCodeableConcept: f.value.concept, ValueString: f.value.text,
		ValueBoolean: f.value.truth, ValueInteger: f.value.whole, DataAbsentReason: f.value.absent,
		BodySite: f.site, Method: f.method,
	}
	if f.from == "" {
		f.from = dateTime(e.At)
	}
	if f.until == "" {
		o.EffectiveDateTime = &f.from
	} else {
		o.EffectivePeriod = &r4.Period{Start: &f.from, End: &f.until}
	}
	for _, c := range f.components {
		o.Component = append(o.Component, c.model())
	}
	for _, role := range f.members {
		member, _ := ofEntry(e.ID, role)
		o.HasMember = append(o.HasMember, *literal("Observation", member))
	}
	for _, of := range f.derived {
		o.DerivedFrom = append(o.DerivedFrom, *literal("Observation", of))
	}
	if f.device != nil {
		o.Device = i.refer(f.device)
	}
	if f.focus != nil {
		if to := i.refer(f.focus); to != nil {
			o.Focus = []r4.Reference{*to}
		}
	}
	if f.note != "" {
		o.Note = []r4.Annotation{{Text: f.note}}
	}
	status := final
	issued, by := i.version(e)
	o.Performer = []r4.Reference{*i.staff(by)}
	told := map[string]bool{} // one entry may have set both of what a figure is of
	for _, s := range append(also, e) {
		if since, _ := i.version(s); since.After(issued.Time) {
			issued = since
		}
		if why := i.why(s); len(why) > 0 && !told[s.ID] {
			told[s.ID] = true
			status = corrected
			o.Note = append(o.Note, why...)
		}
	}
	if !f.anew.at.IsZero() && (status == final || f.anew.at.After(issued.Time)) { // else the correction says why
		if status == final {
			status = amended
		}
		o.Note = append(o.Note, r4.Annotation{Time: ptr(i.stamp(f.anew.at)), Text: f.anew.why})
		if f.anew.at.After(issued.Time) {
			issued = handover.Moment{Time: f.anew.at.In(i.policy.Zone)}
		}
	}
	o.Issued = ptr(dateTime(issued))
	i.facts = append(i.facts, &Resource{Type: "Observation", ID: id, Infant: i.record.Infant, Identifier: known, kind: e.Kind, entry: e.ID,
		model: &resource{kind: "Observation", id: id, status: status, body: o}})
}
