package fhir

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

// Ask is what of a ward is exported.
type Ask struct {
	At     time.Time // what happened up to this moment, it included
	Known  time.Time // and had been written down by this one
	Infant string    // only this infant, admitted or not; empty: every infant admitted at At
	Codes  SiteCodes // the site's further codings; nil: none
	all    bool      // every infant, every stay: what a delta compares
	whole  bool      // for a document: every type, whatever the policy sends
	ever   bool      // of all moments at once: nothing that is so at one of them
}

// Export is what a receiver is to hold: the resources that entries yield, in an
// order that depends on nothing but them.
type Export struct {
	Resources []*Resource
	Held      []Held // infants who were left out, and why: a person must look
	policy    *handover.Policy
	pool      map[string]*Resource // what the resources refer to, by Type/id
}

// Held is an infant who cannot be exported safely.
type Held struct{ Infant, Why string }

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

// NotSet says which keys of the policy an export needs and does not find.
type NotSet struct{ Keys []string }

func (e *NotSet) Error() string {
	return "not set in the policy, and needed for this export: " + strings.Join(e.Keys, ", ")
}

// New exports a ward. It fails with *NotSet where the policy lacks an identifier
// system that is needed; nothing is made up in its place.
func New(w handover.Ward, ask Ask) (*Export, error) {
	b := &builder{policy: w.Policy, ask: ask, entries: map[string][]*entry.Entry{}, absent: map[string]bool{}, drivers: map[string]*device{},
		people: map[string]string{}, cots: map[string]bool{}, others: map[string]*infant{},
		codes: codes{w.Policy.FHIR.Base + ownSystemPath, ask.Codes}}
	for _, e := range w.Entries {
		b.entries[e.Infant] = append(b.entries[e.Infant], e)
	}
	x := &Export{policy: w.Policy, pool: map[string]*Resource{}}
	var infants, built []*infant
	numbers := map[string]*sharing{}
	for _, key := range slices.Sorted(maps.Keys(b.entries)) {
		i := b.find(key)
		if i == nil {
			continue
		}
		numbers[i.identity("mrn")] = numbers[i.identity("mrn")].with(i)
		infants = append(infants, i)
		b.others[key] = i
	}
	if b.sends("Encounter") {
		b.visits = visitsOf(b.others, ask.At)
	}
	summaries := b.summaries(w)
	for _, i := range infants {
		switch {
		case ask.Infant != "" && i.record.Infant != ask.Infant, ask.Infant == "" && !ask.all && !i.admitted():
		case i.identity("mrn") != "" && numbers[i.identity("mrn")].confuses(i, ask.all):
			x.Held = append(x.Held, Held{i.record.Infant, "another infant has the same hospital number: a receiver would take them for one"})
		default:
			if err := i.build(summaries[i.record.Infant]); err != nil {
				return nil, err
			}
			built = append(built, i)
		}
	}
	b.carry(infants, built, x.Held)
	b.shared()
	if len(b.absent) > 0 {
		return nil, &NotSet{slices.Sorted(maps.Keys(b.absent))}
	}
	for _, r := range b.out {
		if err := r.encode(b.policy); err != nil {
			return nil, err
		}
		x.pool[r.key()] = r
	}
	x.Resources = b.out
	return x, nil
}

// sharing counts the infants of one hospital number.
type sharing struct{ all, admitted int }

func (s *sharing) with(i *infant) *sharing {
	if s == nil {
		s = &sharing{}
	}
	s.all++
	if i.admitted() {
		s.admitted++
	}
	return s
}

// confuses says whether an infant would be taken for another: two who are admitted
// always; one who is not, where all are sent.
func (s *sharing) confuses(i *infant, all bool) bool {
	if i.admitted() {
		return s.admitted > 1
	}
	return all && s.all > 1
}

// builder collects the resources of an export.
type builder struct {
	policy  *handover.Policy
	ask     Ask
	codes   codes
	entries map[string][]*entry.Entry // by infant
	drivers map[string]*device        // by asset tag
	people  map[string]string         // names of whom resources refer to, by staff key
	cots    map[string]bool           // that resources refer to
	others  map[string]*infant        // every infant of the record
	visits  map[string]int            // how many stays have a visit number
	out     []*Resource
	absent  map[string]bool // keys of the policy that are needed and not set
}

// system is the identifier system of one of mrn, visit, staff, device.
func (b *builder) system(of string) string {
	s := b.policy.FHIR.Identifiers[of].System
	if s == "" {
		b.absent["fhir.identifiers."+of+".system"] = true
	}
	return s
}

// own is a business identifier of our own.
func (b *builder) own(value string) Identifier {
	return Identifier{b.policy.FHIR.Base + ownIDPath, value}
}

// sends says whether the receiver takes a type.
func (b *builder) sends(kind string) bool {
	return b.ask.whole || slices.Contains(b.policy.FHIR.Send, kind)
}

func (b *builder) add(infant string, id Identifier, r *resource) *Resource {
	out := &Resource{Type: r.kind, ID: r.id, Infant: infant, Identifier: id, model: r}
	b.out = append(b.out, out)
	return out
}

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
	var e encoder
	if err := e.resource(r.model); err != nil {
		return err
	}
	r.JSON, r.refs = e.out, e.refs
	return nil
}
