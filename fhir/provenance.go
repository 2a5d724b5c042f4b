package fhir

import (
	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// provenance says who amended what an entry yields, when and why: one for each
// correction that holds, and one for each that was taken back. Recorded is when the
// amendment was charted, never when the thing happened. It has no business identifier,
// so it is sent in mode put alone; and it has no status, so one that was ever sent
// stays true.
func (i *infant) provenance(c *entry.Entry, yielded []*r4.Resource) {
	id, err := r4.IDOfEntry(c.ID, "provenance")
	if err != nil {
		i.err = err
		return
	}
	why := r4.WasCorrected
	if c.Kind == "retraction" {
		why = r4.WasTakenBack
	}
	m := &models.Provenance{
		Recorded: r4.DateTime(c.Charted), Activity: i.codes.Concept(r4.Updated),
		Reason: []models.CodeableConcept{*i.codes.Said(why, c.Text("reason"))},
		Agent:  []models.ProvenanceAgent{{Who: *i.staff(c.By)}},
	}
	for _, r := range yielded {
		m.Target = append(m.Target, *r4.Literal(r.Type, r.ID))
	}
	i.origins = append(i.origins, &r4.Resource{Type: "Provenance", ID: id, Infant: i.record.Infant, Kind: "correction",
		Model: &r4.Model{Kind: "Provenance", ID: id, Body: m}})
}

// provenances adds them for the stay that was built last.
func (i *infant) provenances() {
	byEntry := map[string][]*r4.Resource{}
	for _, r := range append(append([]*r4.Resource{}, i.uses...), i.facts...) {
		byEntry[r.Entry] = append(byEntry[r.Entry], r)
	}
	for _, e := range i.entries {
		for _, c := range i.amended[e.ID] {
			if len(byEntry[e.ID]) > 0 {
				i.provenance(c, byEntry[e.ID])
			}
		}
	}
}
