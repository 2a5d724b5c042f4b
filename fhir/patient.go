package fhir

import (
	"strconv"
	"time"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// patient adds the infant as a Patient: what the record knows of it, for a receiver
// that does not hold it yet. Its business identifier is the hospital number. Until
// there is one it is an identifier of our own, because a temporary label may be used
// again for another infant. What refers to the Patient carries the identifier beside
// the reference, so when the number becomes known, everything that hangs on the Patient
// changes.
func (i *infant) patient() {
	id, key := i.id, i.builder.own(i.id)
	secondary := *i.identifierOf(key, models.IdentifierUseSecondary)
	p := &models.Patient{}
	mrn, label := i.identity("mrn"), i.identity("temporary")
	switch {
	case mrn != "":
		key = r4.Identifier{System: i.system("mrn"), Value: mrn}
		number := i.identifierOf(key, models.IdentifierUseOfficial)
		number.Type = i.codes.Concept(r4.RecordNumber)
		if by := i.policy.FHIR.Identifiers["mrn"].Assigner; by != "" {
			number.Assigner = &models.Reference{Display: &by}
		}
		p.Identifier = []models.Identifier{*number, secondary}
	case label != "" && i.apart():
		id = r4.IDOfLabelled(i.policy, i.record.Infant).String()
		key = i.builder.own(id)
		p.Identifier = i.labelled(label)
	case label != "":
		p.Identifier = []models.Identifier{secondary, *i.temporary(label)}
	}
	if e := i.latest("restricted"); e == nil || !e.Flag("restricted") {
		p.Name = i.name()
	}
	if sex, ok := r4.Genders[i.identity("sex")]; ok {
		p.Gender = &sex
	}
	i.multiple(p)
	i.subject = r4.Literal("Patient", id)
	i.subject.Identifier = r4.IdentifierOf(key.System, key.Value)
	i.bornAs(id, key, p)
	if mrn != "" && i.apart() && !i.ask.whole {
		i.replaced(p)
	}
}

// bornAs adds a Patient of the infant, with its birth.
func (i *infant) bornAs(id string, key r4.Identifier, p *models.Patient) {
	date, moment := i.born()
	p.BirthDate = r4.Some(date)
	r := &r4.Model{Kind: "Patient", ID: id, Body: p}
	if moment != "" {
		r.Primitive = r4.Primitive{Element: "birthDate", Extension: []models.Extension{{Url: r4.BirthTimeURL, ValueDateTime: &moment}}}
	}
	i.add(key, r)
}

// apart says whether an infant under a temporary label is another Patient than the one of
// its number, for the hospital may hold that one already. The Patient under the label is
// ours alone: it has an id and an identifier that no other ever has, and is sent by them,
// so that it can be ended without a word to what the hospital made of it.
func (i *infant) apart() bool { return i.policy.FHIR.Patients == patientsConditional }

// replaced adds the Patient under the label that the infant had until its number came: it
// is no longer active, and says which Patient replaces it (R4, Patient.link). That one
// says in turn what it replaces, by identifier, for a receiver may have had no other.
func (i *infant) replaced(now *models.Patient) {
	label := i.hadLabel()
	if label == "" {
		return
	}
	id := r4.IDOfLabelled(i.policy, i.record.Infant).String()
	key := i.builder.own(id)
	kind := "Patient"
	now.Link = []models.PatientLink{{Type: models.LinkTypeReplaces,
		Other: models.Reference{Type: &kind, Identifier: r4.IdentifierOf(key.System, key.Value)}}}
	i.bornAs(id, key, &models.Patient{Identifier: i.labelled(label), Active: r4.Ptr(false), Gender: now.Gender,
		Link: []models.PatientLink{{Type: models.LinkTypeReplacedBy, Other: *i.subject}}})
}

// hadLabel is the temporary label that stood until the first number; empty: none did.
func (i *infant) hadLabel() (label string) {
	var since time.Time
	for _, e := range i.record.Entries {
		if e.Kind != "admission" && e.Kind != "identity" || e.At.After(i.ask.At) {
			continue
		}
		if e.Has("mrn") {
			if e.At.Equal(since) {
				return ""
			}
			return label
		}
		if e.Has("temporary") {
			label, since = e.Text("temporary"), e.At.Time
		}
	}
	return ""
}

// labelled are the identifiers of a Patient under a label: its own, and the label.
func (i *infant) labelled(label string) []models.Identifier {
	own := i.builder.own(r4.IDOfLabelled(i.policy, i.record.Infant).String())
	return []models.Identifier{*i.identifierOf(own, models.IdentifierUseSecondary), *i.temporary(label)}
}

func (i *infant) temporary(label string) *models.Identifier {
	return i.identifierOf(r4.Identifier{System: i.builder.own("").System + "/temporary", Value: label}, models.IdentifierUseTemp)
}

func (i *infant) identifierOf(by r4.Identifier, use models.IdentifierUse) *models.Identifier {
	id := r4.IdentifierOf(by.System, by.Value)
	id.Use = &use
	return id
}

func (i *infant) name() []models.HumanName {
	family, given := i.identity("family"), i.identity("given")
	if family == "" && given == "" {
		return nil
	}
	name := models.HumanName{Use: r4.Ptr(models.NameUseOfficial), Family: r4.Some(family)}
	if given != "" {
		name.Given = []string{given}
	}
	return []models.HumanName{name}
}

// multiple says the order of birth, or, without an order, that there were several.
func (i *infant) multiple(p *models.Patient) {
	order, ordered := strconv.Atoi(i.identity("birthOrder"))
	several, counted := strconv.Atoi(i.identity("multiples"))
	switch {
	case counted == nil && several == 1:
		p.MultipleBirthBoolean = r4.Ptr(false)
	case ordered == nil:
		p.MultipleBirthInteger = &order
	case counted == nil:
		p.MultipleBirthBoolean = r4.Ptr(true)
	}
}
