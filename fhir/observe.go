package fhir

import (
	"slices"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// fact is what an entry says, as one Observation. Its role names it within the entry:
// its id and its business identifier follow from entry and role.
type fact struct {
	role       string
	category   r4.Concept
	code       *models.CodeableConcept
	value      r4.Value
	components []r4.Component
	site       *models.CodeableConcept
	method     *models.CodeableConcept
	device     *device
	focus      *device
	members    []string // roles of the same entry
	derived    []string // ids of other Observations
	from       string   // effective, where it is not the entry's at
	until      string   // and its end, where it has one
	note       string
	anew       change // than had been told, by other entries
}

// observe adds a fact of an entry. Effective is when it happened. Issued is the moment
// from which the version that holds has held; a computed fact stands on other entries too,
// and is issued with the last of them. A corrected fact keeps its id, and says that it was
// corrected.
func (i *infant) observe(e *entry.Standing, f fact, also ...*entry.Standing) {
	id, err := r4.IDOfEntry(e.ID, f.role)
	if err != nil {
		i.err = err
		return
	}
	known := i.builder.own(e.ID + "." + f.role)
	o := &models.Observation{
		Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)},
		Category:   []models.CodeableConcept{*i.codes.Concept(f.category)},
		Code:       *f.code, Subject: i.subject, Encounter: i.stay,
		ValueQuantity: f.value.Quantity, ValueCodeableConcept: f.value.Concept, ValueString: f.value.Text,
		ValueBoolean: f.value.Truth, ValueInteger: f.value.Whole, DataAbsentReason: f.value.Absent,
		BodySite: f.site, Method: f.method,
	}
	from := f.from
	if from == "" {
		from = r4.DateTime(e.At)
	}
	if f.until == "" {
		o.EffectiveDateTime = &from
	} else {
		o.EffectivePeriod = &models.Period{Start: &from, End: r4.Ptr(f.until)}
	}
	o.Component = slices.Grow(o.Component, len(f.components))
	for _, c := range f.components {
		o.Component = append(o.Component, c.Element())
	}
	for _, role := range f.members {
		member, _ := r4.IDOfEntry(e.ID, role)
		o.HasMember = append(o.HasMember, *r4.Literal("Observation", member))
	}
	for _, of := range f.derived {
		o.DerivedFrom = append(o.DerivedFrom, *r4.Literal("Observation", of))
	}
	if f.device != nil {
		o.Device = i.refer(f.device)
	}
	if f.focus != nil {
		if to := i.refer(f.focus); to != nil {
			o.Focus = []models.Reference{*to}
		}
	}
	if f.note != "" {
		o.Note = []models.Annotation{{Text: f.note}}
	}
	i.facts = append(i.facts, &r4.Resource{Type: "Observation", ID: id, Infant: i.record.Infant, Identifier: known,
		Kind: e.Kind, Entry: e.ID,
		Model: &r4.Model{Kind: "Observation", ID: id, Status: i.versioned(o, e, f.anew, also), Body: o}})
}

// versioned says in an Observation who charted the version that holds, since when it has
// held, and why it differs from what was told; it returns the status that follows.
func (i *infant) versioned(o *models.Observation, e *entry.Standing, anew change, also []*entry.Standing) string {
	status := r4.Final
	issued, by := i.version(e)
	o.Performer = []models.Reference{*i.staff(by)}
	told := map[string]bool{} // one entry may have set both of what a figure is of
	for _, s := range append(also, e) {
		if since, _ := i.version(s); since.After(issued.Time) {
			issued = since
		}
		if why := i.why(s); len(why) > 0 && !told[s.ID] {
			told[s.ID] = true
			status = r4.Corrected
			o.Note = append(o.Note, why...)
		}
	}
	if !anew.at.IsZero() && (status == r4.Final || anew.at.After(issued.Time)) { // else the correction says why
		if status == r4.Final {
			status = r4.Amended
		}
		o.Note = append(o.Note, models.Annotation{Time: r4.Ptr(i.stamp(anew.at)), Text: anew.why})
		if anew.at.After(issued.Time) {
			issued = entry.Moment{Time: anew.at.In(i.policy.Zone)}
		}
	}
	o.Issued = r4.Ptr(r4.DateTime(issued))
	return status
}
