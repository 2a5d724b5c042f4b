package fhir

import (
	"fmt"
	"slices"
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
	Signed   *entry.Entry       // the handover entry that signs it; nil: preliminary
	Accepted []*entry.Entry     // acceptances of it
	Chain    string             // head of the record's chain as it was signed, else as it is read; empty of a plain file
	Codes    r4.SiteCodes
}

// Document is an infant's part of a handover as a document bundle: a Composition, every
// resource that a transaction would hold, with where and why each was corrected, and
// the figures of the window, which belong to this handover alone. A section leads to
// every entry, and every section says in words what it tells.
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
	w.Policy = leavingNothing(w.Policy)
	x, err := New(w, Ask{At: h.At, Known: h.Known, Infant: infant, Codes: issue.Codes, whole: true})
	if err != nil {
		return nil, err
	}
	if len(x.Held) > 0 {
		return nil, fmt.Errorf("infant %s: %s", infant, x.Held[0].Why)
	}
	note, later := editionID(w.Policy, issue, infant), issue.later(w, infant)
	return &document{Edition: issue, x: x, s: s, zone: w.Policy.Zone, note: note, since: later, id: versionID(note, later),
		builder: &builder{policy: w.Policy, ask: Ask{whole: true}, absent: map[string]bool{}, people: map[string]string{},
			codes: r4.Codes{System: w.Policy.FHIR.Base + r4.OwnSystemPath, Site: issue.Codes}}}, nil
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
	zone     *time.Location
	note     uuid.UUID      // of the handover, in all its versions
	id       uuid.UUID      // of the version that tells this
	since    []*entry.Entry // what was written down since it was signed
	subject  *models.Reference
	software *r4.Resource
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
	composition := d.composition()
	all := append([]*r4.Resource{composition, d.software}, d.computed...)
	for _, r := range all {
		if err := r.Encode(d.policy); err != nil {
			return nil, err
		}
	}
	all = append(append([]*r4.Resource{composition, d.software}, d.x.Resources...), d.computed...)
	for _, p := range d.practitioners() {
		if d.x.pool[p.Key()] != nil {
			continue
		}
		if err := p.Encode(d.policy); err != nil {
			return nil, err
		}
		all = append(all, p)
	}
	return all, nil
}

func (d *document) bundle() ([]byte, error) {
	all, err := d.resources()
	if err != nil {
		return nil, err
	}
	b := newBundle("document", nil)
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
	id := r4.NamedID(d.note, "Composition").String()
	known := d.builder.own(d.note.String() + ".composition")
	m := &models.Composition{
		Identifier: r4.IdentifierOf(known.System, known.Value), Type: *d.codes.Concept(r4.NurseSummary), Subject: d.subject,
		Date: entry.Stamp(d.Handover.At, d.zone), Author: []models.Reference{*r4.Literal("Device", d.software.ID)},
		Title: r4.DocumentTitle + ", " + d.s.Cot + ", " + entry.Stamp(d.Handover.At, d.zone),
	}
	status := r4.Unsigned
	if d.Signed != nil {
		status = r4.Final
		if len(d.since) > 0 {
			status = r4.Amended
		}
		m.Author = []models.Reference{*d.staff(d.Signed.By)}
		m.Attester = append(m.Attester, d.attester(d.Signed))
		for _, a := range d.Accepted {
			m.Attester = append(m.Attester, d.attester(a))
		}
		if len(d.since)+len(d.Accepted) > 0 {
			signed := r4.IdentifierOf(d.policy.FHIR.Base+r4.OwnIDPath, d.version(d.note))
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

// section is a part of every document. What entries yield stands where yields says.
type section struct {
	r4.Concept
	kinds []string // of the other resources that stand there
	lines func(*document, *r4.Prose)
}

// sections in the order in which they are read.
var sections = []section{
	{r4.SectionFirst, nil, (*document).firstLines},
	{r4.SectionChanges, nil, (*document).changeLines},
	{r4.SectionDue, []string{"due", "task", "plan"}, (*document).dueLines},
	{r4.SectionSupport, []string{"window"}, (*document).supportLines},
	{r4.SectionSigns, nil, (*document).signLines},
	{r4.SectionSkin, nil, (*document).skinLines},
	{r4.SectionDevices, []string{"device"}, (*document).deviceLines},
	{r4.SectionGrowth, []string{"age"}, (*document).growthLines},
	{r4.SectionWords, nil, (*document).wordLines},
	{r4.SectionMind, []string{"flag"}, (*document).mindLines},
	{r4.SectionAmended, []string{"correction"}, (*document).correctionLines},
	{r4.SectionEntries, []string{"entry"}, (*document).entryLines},
}

// SectionCount is how many sections a document has, always.
func SectionCount() int { return len(sections) }

// section tells in words, and leads to its resources.
func (d *document) section(of section) models.CompositionSection {
	p := r4.NewProse()
	before := p.Len()
	of.lines(d, p)
	if p.Len() == before {
		p.Line(r4.NothingToTell)
	}
	out := models.CompositionSection{Title: r4.Ptr(of.Text), Code: d.codes.Concept(of.Concept), Text: p.Done()}
	for _, all := range [][]*r4.Resource{d.x.Resources, d.computed} {
		for _, r := range all {
			if kind := sectionOf(r); slices.Contains(of.kinds, kind) || yields[kind].section.Code == of.Code {
				out.Entry = append(out.Entry, *r4.Literal(r.Type, r.ID))
			}
		}
	}
	return out
}

// sectionOf is the kind by which a resource is put into a section. A Device stands with
// the devices, whether it is shared or not; the Patient stands in none, because the
// whole document is about that infant.
func sectionOf(r *r4.Resource) string {
	if r.Type == "Device" {
		return "device"
	}
	return r.Kind
}

// leavingNothing is the policy of a document, which is whole whatever fhir.leave names:
// it is read by people, and its resources stand alone.
func leavingNothing(p *handover.Policy) *handover.Policy {
	whole := *p
	whole.FHIR.Leave = nil
	return &whole
}
