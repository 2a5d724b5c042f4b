package fhir

import (
	"strconv"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// patient adds the infant as a Patient: what the record knows of it, for a receiver
// that does not hold it yet. Its business identifier is the hospital number. Until
// there is one it is an identifier of our own, because a temporary label may be used
// again for another infant. What refers to the Patient carries the identifier beside
// the reference, so when the number becomes known, everything that hangs on the Patient
// changes. Where Patients are the hospital's (fhir.patients: conditional) the one under
// the label then stays behind: a transaction cannot ask whether the hospital has that
// number already, and to add it to ours, or to make ours inactive, would each be wrong
// in one of the two cases.
func (i *infant) patient() {
	own := i.builder.own(i.id)
	key := own
	p := &models.Patient{}
	secondary := r4.IdentifierOf(own.System, own.Value)
	secondary.Use = r4.Ptr(models.IdentifierUseSecondary)
	switch mrn, label := i.identity("mrn"), i.identity("temporary"); {
	case mrn != "":
		key = r4.Identifier{System: i.system("mrn"), Value: mrn}
		number := r4.IdentifierOf(key.System, mrn)
		number.Use, number.Type = r4.Ptr(models.IdentifierUseOfficial), i.codes.Concept(r4.RecordNumber)
		if by := i.policy.FHIR.Identifiers["mrn"].Assigner; by != "" {
			number.Assigner = &models.Reference{Display: &by}
		}
		p.Identifier = []models.Identifier{*number, *secondary}
	case label != "":
		temporary := r4.IdentifierOf(own.System+"/temporary", label)
		temporary.Use = r4.Ptr(models.IdentifierUseTemp)
		p.Identifier = []models.Identifier{*secondary, *temporary}
	}
	if e := i.latest("restricted"); e == nil || !e.Flag("restricted") {
		p.Name = i.name()
	}
	if sex, ok := r4.Genders[i.identity("sex")]; ok {
		p.Gender = &sex
	}
	date, moment := i.born()
	p.BirthDate = r4.Some(date)
	i.multiple(p)
	r := &r4.Model{Kind: "Patient", ID: i.id, Body: p}
	if moment != "" {
		r.Primitive = r4.Primitive{Element: "birthDate", Extension: []models.Extension{{Url: r4.BirthTimeURL, ValueDateTime: &moment}}}
	}
	i.add(key, r)
	i.subject = r4.Literal("Patient", i.id)
	i.subject.Identifier = r4.IdentifierOf(key.System, key.Value)
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
