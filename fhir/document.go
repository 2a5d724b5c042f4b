package fhir

import (
	"fmt"
	"time"

	"github.com/google/uuid"
	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

// Issue is one handover as it is put into documents.
type Issue struct {
	Handover *handover.Handover // compiled from the same ward
	Signed   *entry.Entry       // the handover entry that signs it; nil: preliminary
	Accepted []*entry.Entry     // acceptances of it
	Chain    string             // head of the record's chain as it was signed, else as it is read; empty of a plain file
	Codes    SiteCodes
}

// Document is an infant's part of a handover as a document bundle: a Composition,
// every resource that the transaction would hold, where each was corrected and
// why, and the figures of the window, which are of this handover alone. Every entry
// is reached from a section; every section says in words what it tells.
func Document(w handover.Ward, issue Issue, infant string) ([]byte, error) {
	d, err := newDocument(w, issue, infant)
	if err != nil {
		return nil, err
	}
	return d.bundle()
}

// DocumentResources are those of Document, its Composition first; as in an export,
// they refer to one another as Type/id.
func DocumentResources(w handover.Ward, issue Issue, infant string) ([]*Resource, error) {
	d, err := newDocument(w, issue, infant)
	if err != nil {
		return nil, err
	}
	return d.resources()
}

func newDocument(w handover.Ward, issue Issue, infant string) (*document, error) {
	h := issue.Handover
	s := summaryOf(h, infant)
	if s == nil {
		return nil, fmt.Errorf("infant %s is not in this handover", infant)
	}
	x, err := New(w, Ask{At: h.At, Known: h.Known, Infant: infant, Codes: issue.Codes, whole: true})
	if err != nil {
		return nil, err
	}
	if len(x.Held) > 0 {
		return nil, fmt.Errorf("infant %s: %s", infant, x.Held[0].Why)
	}
	note, later := issueID(w.Policy, issue, infant), issue.later(w, infant)
	return &document{Issue: issue, x: x, s: s, zone: w.Policy.Zone, note: note, since: later, id: versionID(note, later),
		builder: &builder{policy: w.Policy, ask: Ask{whole: true}, absent: map[string]bool{}, people: map[string]string{}, codes: codes{w.Policy.FHIR.Base + ownSystemPath, issue.Codes}}}, nil
}

func summaryOf(h *handover.Handover, infant string) *handover.Summary {
	for _, s := range h.Infants {
		if s.Infant == infant {
			return s
		}
	}
	return nil
}

// issueID is the name space of one infant's part of one handover: of the entry that
// signs it, or of the moments it was compiled for.
func issueID(p *handover.Policy, issue Issue, infant string) uuid.UUID {
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
	return named(ofInfant(p, infant), name)
}

type document struct {
	Issue
	*builder
	x        *Export
	s        *handover.Summary
	zone     *time.Location
	note     uuid.UUID      // of the handover, in all its versions
	id       uuid.UUID      // of the version that tells this
	since    []*entry.Entry // what was written down since it was signed
	subject  *r4.Reference
	software *Resource
	computed []*Resource
}

func (d *document) resources() ([]*Resource, error) {
	var patient *Resource
	for _, r := range d.x.Resources {
		if r.Type == "Patient" {
			patient = r
		}
	}
	d.subject = literal("Patient", patient.ID)
	d.subject.Identifier = identifier(patient.Identifier.System, patient.Identifier.Value)
	d.software = d.program()
	d.figures()
	composition := d.composition()
	all := append([]*Resource{composition, d.software}, d.computed...)
	for _, r := range all {
		if err := r.encode(d.policy); err != nil {
			return nil, err
		}
	}
	all = append(append([]*Resource{composition, d.software}, d.x.Resources...), d.computed...)
	for _, p := range d.practitioners() {
		if d.x.pool[p.key()] != nil {
			continue
		}
		if err := p.encode(d.policy); err != nil {
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
	b.out = entry.AppendString(b.out, d.policy.FHIR.Base+ownIDPath)
	b.out = append(b.out, `,"value":`...)
	b.out = entry.AppendString(b.out, d.version(versionID(d.id, d.Accepted)))
	b.out = append(b.out, `},"timestamp":`...)
	b.out = entry.AppendString(b.out, entry.Stamp(d.assembled(), d.zone))
	for _, r := range all {
		b.answer(r)
	}
	for _, r := range all {
		if err := b.entry(r, true, nil); err != nil {
			return nil, err
		}
	}
	return b.done()
}

// program is what compiled the handover: the author while nobody signed it.
func (d *document) program() *Resource {
	id := named(named(uuid.NameSpaceURL, d.policy.FHIR.Base), "Device\nsoftware").String()
	known := d.builder.own(id)
	return &Resource{Type: "Device", ID: id, Identifier: known, model: &resource{kind: "Device", id: id, status: active,
		body: &r4.Device{Identifier: []r4.Identifier{*identifier(known.System, known.Value)}, Type: d.codes.concept(softwareDevice)}}}
}

// composition is the handover itself: one, with one identifier, in every version.
func (d *document) composition() *Resource {
	id := named(d.note, "Composition").String()
	known := d.builder.own(d.note.String() + ".composition")
	m := &r4.Composition{
		Identifier: identifier(known.System, known.Value), Type: *d.codes.concept(nurseSummary), Subject: d.subject,
		Date: entry.Stamp(d.Handover.At, d.zone), Author: []r4.Reference{*literal("Device", d.software.ID)},
		Title: documentTitle + ", " + d.s.Cot + ", " + entry.Stamp(d.Handover.At, d.zone),
	}
	status := unsigned
	if d.Signed != nil {
		status = final
		if len(d.since) > 0 {
			status = amended
		}
		m.Author = []r4.Reference{*d.staff(d.Signed.By)}
		m.Attester = append(m.Attester, d.attester(d.Signed))
		for _, a := range d.Accepted {
			m.Attester = append(m.Attester, d.attester(a))
		}
		if len(d.since)+len(d.Accepted) > 0 {
			signed := identifier(d.policy.FHIR.Base+ownIDPath, d.version(d.note))
			m.RelatesTo = []r4.CompositionRelatesTo{{Code: r4.DocumentRelationshipTypeReplaces, TargetIdentifier: *signed}}
		}
	}
	for _, r := range d.x.Resources {
		if r.Type == "Encounter" {
			m.Encounter = literal(r.Type, r.ID)
		}
	}
	for _, of := range sections {
		m.Section = append(m.Section, d.section(of))
	}
	return &Resource{Type: "Composition", ID: id, Infant: d.s.Infant, Identifier: known, model: &resource{kind: "Composition", id: id, status: status, body: m}}
}

func (d *document) attester(e *entry.Entry) r4.CompositionAttester {
	return r4.CompositionAttester{Mode: r4.CompositionAttestationModeProfessional, Time: ptr(dateTime(e.At)), Party: d.staff(e.By)}
}

// sections in the order in which they are read; kinds are those of the entries
// whose resources stand there.
var sections = []struct {
	concept
	kinds []string
	lines func(*document, *page)
}{
	{sectionChanges, nil, (*document).changeLines},
	{sectionDue, []string{"due", "task", "plan"}, (*document).dueLines},
	{sectionSupport, []string{"support", "settings", "window"}, (*document).supportLines},
	{sectionSigns, []string{"observations", "episode"}, (*document).signLines},
	{sectionSkin, []string{"skin"}, (*document).skinLines},
	{sectionDevices, []string{"interface", "tube", "bonnet", "circuit", "humidifier", "calibration", "seal", "setup", "alarm", "device"}, (*document).deviceLines},
	{sectionGrowth, []string{"admission", "identity", "head", "weight", "age"}, (*document).growthLines},
	{sectionWords, []string{"care", "note", "outlook"}, (*document).wordLines},
	{sectionMind, []string{"flag"}, (*document).mindLines},
	{sectionAmended, []string{"correction"}, (*document).correctionLines},
	{sectionEntries, []string{"entry"}, (*document).entryLines},
}

// section tells in words, and leads to its resources.
func (d *document) section(of struct {
	concept
	kinds []string
	lines func(*document, *page)
}) r4.CompositionSection {
	p := newPage()
	before := p.b.Len()
	of.lines(d, p)
	if p.b.Len() == before {
		p.line(nothingToTell)
	}
	out := r4.CompositionSection{Title: ptr(of.text), Code: d.codes.concept(of.concept), Text: p.done()}
	in := map[string]bool{}
	for _, k := range of.kinds {
		in[k] = true
	}
	for _, all := range [][]*Resource{d.x.Resources, d.computed} {
		for _, r := range all {
			if in[r.section()] {
				out.Entry = append(out.Entry, *literal(r.Type, r.ID))
			}
		}
	}
	return out
}

// section is the kind that decides where a resource stands: a Device stands with
// the devices, shared or not, and the Patient is the subject of the whole.
func (r *Resource) section() string {
	if r.Type == "Device" {
		return "device"
	}
	return r.kind
}
