package fhir

import (
	"fmt"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// Resource is one resource and its canonical bytes, in which it refers to others
// as Type/id.
type Resource struct {
	Type, ID   string
	Infant     string // whose it is; empty: shared by several
	Identifier Identifier
	JSON       []byte

	refs  []span // where JSON refers to others
	model *resource
	kind  string // of the entry that yields it
	entry string // the original entry that it comes of; empty: of several
	what  string // of a Task of something due: what that is
	care  string // and of a care, which
	other string // of a Flag: the other infant
}

// Identifier is the business identifier that a resource is found by.
type Identifier struct{ System, Value string }

// key is how resources refer to one another.
func (r *Resource) key() string { return r.Type + "/" + r.ID }

// encode finishes a resource: its id, the test mark, the narrative, the bytes.
func (r *Resource) encode(p *handover.Policy) error {
	var meta *r4.Meta
	if p.FHIR.Test {
		meta = &r4.Meta{Security: []r4.Coding{testData.coding()}}
	}
	switch m := r.model.body.(type) {
	case *r4.Observation:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateObservation(m, r.model.status)
	case *r4.Device:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateDevice(m, r.model.status)
	case *r4.DeviceUseStatement:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateUse(m, r.model.status)
	case *r4.Task:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateTask(m, r.model.status)
	case *r4.Flag:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateFlag(m, r.model.status)
	case *r4.Encounter:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateEncounter(m, r.model.status)
	case *r4.Location:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateLocation(m)
	case *r4.Practitioner:
		m.Id, m.Meta, m.Text = &r.ID, meta, narratePractitioner(m)
	case *r4.DeviceMetric:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateMetric(m)
	case *r4.Patient:
		m.Id, m.Meta, m.Text = &r.ID, meta, narratePatient(m)
	case *r4.Provenance:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateProvenance(m)
	case *r4.Composition:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateComposition(m)
	case *r4.Basic:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateBasic(m)
	case *r4.CodeSystem:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateCodes(m)
	case *r4.ValueSet:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateValueSet(m)
	default:
		if !r.finishDefinition(meta) {
			return fmt.Errorf("%s: no narrative", r.Type)
		}
	}
	return r.write(nil, nil)
}

// write makes the bytes of what the model says, in memory that may be given.
func (r *Resource) write(into []byte, refs []span) error {
	e := encoder{out: into, refs: refs}
	if err := e.resource(r.model); err != nil {
		return err
	}
	r.JSON, r.refs = e.out, e.refs
	return nil
}
