package fhir

import (
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// Edition is one handover as it is put into documents.
type Edition struct {
	Handover *handover.Handover // compiled from the same ward
	Words    Words
	Entries  bool           // the text of every entry of the infant is carried, to be read back
	Signed   *entry.Entry   // the handover entry that signs it; nil: preliminary
	Accepted []*entry.Entry // acceptances of it
	Chain    string         // head of the record's chain as it was signed, else as it is read; empty of a plain file
	Codes    r4.SiteCodes
}

// Words are the sentences that a document tells of an infant, by section: those of the
// faces in words, so that a reader finds the same everywhere. A section of SectionNames
// that has none tells nothing.
type Words func(infant string) map[string][]string

// Document is an infant's part of a handover as a document bundle, for a reader: a
// Composition whose sections tell in words what is so, the resources that this comes
// from, with where and why each was corrected, and the figures of the window, which
// belong to this handover alone. Of the history it holds nothing else. A section leads
// to every resource.
func Document(w handover.Ward, issue Edition, infant string) ([]byte, error) {
	d, err := newDocument(w, issue, infant)
	if err != nil {
		return nil, err
	}
	return d.bundle()
}

// DocumentResources are those of Document, its Composition first; as in an export,
// they refer to one another as Type/id.
func DocumentResources(w handover.Ward, issue Edition, infant string) ([]*r4.Resource, error) {
	d, err := newDocument(w, issue, infant)
	if err != nil {
		return nil, err
	}
	return d.resources()
}

func newDocument(w handover.Ward, issue Edition, infant string) (*document, error) {
	h := issue.Handover
	s := summaryOf(h, infant)
	if s == nil {
		return nil, fmt.Errorf("infant %s is not in this handover", infant)
	}
	if issue.Words == nil {
		return nil, errors.New("a document without words tells a reader nothing")
	}
	w.Policy = leavingNothing(w.Policy)
	x, err := New(w, Ask{At: h.At, Known: h.Known, Infant: infant, Codes: issue.Codes, whole: true, needs: needsOf(s, h.At),
		mute: !issue.Entries})
	if err != nil {
		return nil, err
	}
	if len(x.Held) > 0 {
		return nil, fmt.Errorf("infant %s: %s", infant, x.Held[0].Why)
	}
	edition, added := editionID(w.Policy, issue, infant), issue.later(w, infant)
	return &document{Edition: issue, x: x, s: s, words: issue.Words(infant), zone: w.Policy.Zone, edition: edition, added: added,
		id: versionID(edition, added),
		builder: &builder{policy: w.Policy, ask: Ask{whole: true}, absent: map[string]bool{}, people: map[string]string{},
			staffed: map[string]*models.Reference{}, codes: r4.CodesOf(w.Policy, issue.Codes)}}, nil
}

func summaryOf(h *handover.Handover, infant string) *handover.Summary {
	for _, s := range h.Infants {
		if s.Infant == infant {
			return s
		}
	}
	return nil
}

// editionID is the name space of ids for one infant's part of one handover. It follows
// from the entry that signs the handover; of one that nobody signed, from the moments
// that it was compiled for.
func editionID(p *handover.Policy, issue Edition, infant string) uuid.UUID {
	name := "handover"
	if issue.Signed != nil {
		name += "\n" + issue.Signed.ID
	} else {
		s := summaryOf(issue.Handover, infant)
		for _, t := range []time.Time{issue.Handover.At, issue.Handover.Known, s.Since} {
			name += "\n" + t.UTC().Format(time.RFC3339Nano)
		}
		name += "\n" + issue.Handover.Policy
	}
	return r4.NamedID(r4.IDOfInfant(p, infant), name)
}

type document struct {
	Edition
	*builder
	x        *Export
	s        *handover.Summary
	words    map[string][]string // by section
	zone     *time.Location
	edition  uuid.UUID      // name space of ids of the handover, in all its versions
	id       uuid.UUID      // of the version that tells what was added
	added    []*entry.Entry // written down since it was signed
	subject  *models.Reference
	software *r4.Resource
	held     []*r4.Resource // the infant's, and what these refer to
	computed []*r4.Resource
}

func (d *document) resources() ([]*r4.Resource, error) {
	var patient *r4.Resource
	for _, r := range d.x.Resources {
		if r.Type == "Patient" {
			patient = r
		}
	}
	d.subject = r4.Literal("Patient", patient.ID)
	d.subject.Identifier = r4.IdentifierOf(patient.Identifier.System, patient.Identifier.Value)
	d.software = d.program()
	d.figures()
	among := reachAmong(d.x.Resources)
	for _, r := range d.x.Resources {
		if r.Infant != "" || r.Type == "Basic" {
			among.add(r)
		}
	}
	d.held = among.of(d.x.Resources)
	composition := d.composition()
	all := append([]*r4.Resource{composition, d.software}, d.computed...)
	people := d.practitioners()
	for _, r := range append(all, people...) {
		if err := r.Encode(d.policy); err != nil {
			return nil, err
		}
	}
	all = append(append([]*r4.Resource{composition, d.software}, d.held...), d.computed...)
	for _, p := range people {
		if !among.in[d.x.pool[p.Key()]] {
			all = append(all, p)
		}
	}
	return all, nil
}

func (d *document) bundle() ([]byte, error) {
	all, err := d.resources()
	if err != nil {
		return nil, err
	}
	b := newBundle("document")
	b.out = append(b.out, `,"identifier":{"system":`...)
	b.out = entry.AppendString(b.out, d.policy.FHIR.Base+r4.OwnIDPath)
	b.out = append(b.out, `,"value":`...)
	b.out = entry.AppendString(b.out, d.version(versionID(d.id, d.Accepted)))
	b.out = append(b.out, `},"timestamp":`...)
	b.out = entry.AppendString(b.out, entry.Stamp(d.assembled(), d.zone))
	return b.whole(all)
}

// program is the software that compiled the handover. It is the author as long as
// nobody has signed.
func (d *document) program() *r4.Resource {
	id := r4.NamedID(r4.NamedID(uuid.NameSpaceURL, d.policy.FHIR.Base), "Device\nsoftware").String()
	known := d.builder.own(id)
	return &r4.Resource{Type: "Device", ID: id, Identifier: known, Model: &r4.Model{Kind: "Device", ID: id, Status: r4.Active,
		Body: &models.Device{Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)},
			Type: d.codes.Concept(r4.SoftwareDevice)}}}
}

// composition is the handover itself. Every version of it has the same id and the same
// identifier.
func (d *document) composition() *r4.Resource {
	id := r4.NamedID(d.edition, "Composition").String()
	known := d.builder.own(d.edition.String() + ".composition")
	m := &models.Composition{
		Identifier: r4.IdentifierOf(known.System, known.Value), Type: *d.codes.Concept(r4.NurseSummary), Subject: d.subject,
		Date: entry.Stamp(d.Handover.At, d.zone), Author: []models.Reference{*r4.Literal("Device", d.software.ID)},
		Title: r4.DocumentTitle + ", " + d.s.Cot + ", " + d.minute(d.Handover.At),
	}
	status := r4.Unsigned
	if d.Signed != nil {
		status = r4.Final
		if len(d.added) > 0 {
			status = r4.Amended
		}
		m.Author = []models.Reference{*d.staff(d.Signed.By)}
		m.Attester = append(m.Attester, d.attester(d.Signed))
		for _, a := range d.Accepted {
			m.Attester = append(m.Attester, d.attester(a))
		}
		if len(d.added)+len(d.Accepted) > 0 {
			signed := r4.IdentifierOf(d.policy.FHIR.Base+r4.OwnIDPath, d.version(d.edition))
			m.RelatesTo = []models.CompositionRelatesTo{{Code: models.DocumentRelationshipTypeReplaces, TargetIdentifier: *signed}}
		}
	}
	m.Encounter = d.stay()
	for _, of := range sections {
		m.Section = append(m.Section, d.section(of))
	}
	return &r4.Resource{Type: "Composition", ID: id, Infant: d.s.Infant, Identifier: known,
		Model: &r4.Model{Kind: "Composition", ID: id, Status: status, Body: m}}
}

func (d *document) attester(e *entry.Entry) models.CompositionAttester {
	return models.CompositionAttester{Mode: models.CompositionAttestationModeProfessional, Time: r4.Ptr(r4.DateTime(e.At)),
		Party: d.staff(e.By)}
}

// leavingNothing is a policy by which nothing is left out, whatever fhir.leave names: that of
// a document, which is read by people and whose resources stand alone.
func leavingNothing(p *handover.Policy) *handover.Policy {
	whole := *p
	whole.FHIR.Leave = nil
	return &whole
}
