package fhir

import (
	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover/entry"
)

// provenance adds, for each correction of an entry that stands, and for each that
// was taken back, who amended what it yields, when and why. Recorded is when that was
// charted, never when the thing happened. It has no business identifier, so it is sent
// in mode put only; and no status, so one that was ever sent stays true.
func (i *infant) provenance(c *entry.Entry, yielded []*Resource) {
	id, err := ofEntry(c.ID, "provenance")
	if err != nil {
		i.err = err
		return
	}
	m := &r4.Provenance{
		Recorded: dateTime(c.Charted), Activity: i.codes.concept(updated),
		Reason: []r4.CodeableConcept{*texted(c.Text("reason"))},
		Agent:  []r4.ProvenanceAgent{{Who: *i.staff(c.By)}},
	}
	for _, r := range yielded {
		m.Target = append(m.Target, *literal(r.Type, r.ID))
	}
	i.origins = append(i.origins, &Resource{Type: "Provenance", ID: id, Infant: i.record.Infant, kind: "correction",
		model: &resource{kind: "Provenance", id: id, body: m}})
}

// provenances adds them for the stay that was built last.
func (i *infant) provenances() {
	byEntry := map[string][]*Resource{}
	for _, r := range append(append([]*Resource{}, i.uses...), i.facts...) {
		byEntry[r.entry] = append(byEntry[r.entry], r)
	}
	for _, e := range i.entries {
		for _, c := range i.amended[e.ID] {
			if len(byEntry[e.ID]) > 0 {
				i.provenance(c, byEntry[e.ID])
			}
		}
	}
}
