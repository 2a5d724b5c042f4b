package r4

import (
	"fmt"
	"slices"
	"sync"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// Resource is one resource and its canonical bytes, in which it refers to others
// as Type/id.
type Resource struct {
	Type, ID   string
	Infant     string // whose it is; empty: shared by several
	Identifier Identifier
	JSON       []byte

	Refs  []Span // where JSON refers to others
	Model *Model
	Kind  string // of the entry that yields it
	Entry string // the original entry that it comes of; empty: of several

	key string // once it is encoded
}

// Identifier is the business identifier that a resource is found by.
type Identifier struct{ System, Value string }

// Key is how resources refer to one another.
func (r *Resource) Key() string {
	if r.key != "" {
		return r.key
	}
	return r.Type + "/" + r.ID
}

// Encode finishes a resource: its id, the test mark, the narrative unless the policy
// leaves it out, the bytes. A Composition and a definition always have theirs.
func (r *Resource) Encode(p *handover.Policy) error {
	var meta *models.Meta
	if p.FHIR.Test {
		meta = marked
	}
	say := func(narrative func() *models.Narrative) *models.Narrative {
		if slices.Contains(p.FHIR.Leave, handover.LeaveNarrative) {
			return nil
		}
		return narrative()
	}
	switch m := r.Model.Body.(type) {
	case *models.Observation:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narrateObservation(m, r.Model.Status) })
	case *models.Device:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narrateDevice(m, r.Model.Status) })
	case *models.DeviceUseStatement:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narrateUse(m, r.Model.Status) })
	case *models.Task:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narrateTask(m, r.Model.Status) })
	case *models.Flag:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narrateFlag(m, r.Model.Status) })
	case *models.Encounter:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narrateEncounter(m, r.Model.Status) })
	case *models.Location:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narrateLocation(m) })
	case *models.Practitioner:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narratePractitioner(m) })
	case *models.DeviceMetric:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narrateMetric(m) })
	case *models.Patient:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narratePatient(m) })
	case *models.Provenance:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narrateProvenance(m) })
	case *models.Composition:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateComposition(m)
	case *models.Basic:
		m.Id, m.Meta, m.Text = &r.ID, meta, say(func() *models.Narrative { return narrateBasic(m) })
	case *models.AuditEvent:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateAudit(m)
	case *models.CodeSystem:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateCodes(m)
	case *models.ValueSet:
		m.Id, m.Meta, m.Text = &r.ID, meta, narrateValueSet(m)
	default:
		if !r.finishDefinition(meta) {
			return fmt.Errorf("%s: no narrative", r.Type)
		}
	}
	x := rooms.Get().(*room)
	defer rooms.Put(x)
	if cap(x.out)-len(x.out) < roomLeft {
		x.out = make([]byte, 0, roomOf)
	}
	if err := r.Write(x.out[len(x.out):], x.refs[:0]); err != nil {
		return err
	}
	x.out, x.refs = r.JSON, r.Refs
	r.JSON, r.Refs, r.key = slices.Clip(r.JSON), slices.Clone(r.Refs), r.Key()
	return nil
}

// marked is the mark of test data.
var marked = &models.Meta{Security: []models.Coding{TestData.Coding()}}

// rooms are where resources are written, one behind the other: what is left of a room has
// space for most.
var rooms = sync.Pool{New: func() any { return new(room) }}

type room struct {
	out  []byte
	refs []Span
}

const roomOf, roomLeft = 64 << 10, 4 << 10

// Write makes the bytes of what the model says, in memory that may be given.
func (r *Resource) Write(into []byte, refs []Span) error {
	e := encoder{out: into, refs: refs}
	if err := e.resource(r.Model); err != nil {
		return err
	}
	r.JSON, r.Refs = e.out, e.refs
	return nil
}
