package fhir

import (
	"strconv"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// patient adds the infant as a Patient: what the record knows of it, for the
// receiver that does not hold it yet. The hospital number is its business
// identifier; until there is one, an identifier of our own is, for a temporary
// label may come again on another infant. What refers to the Patient carries that
// identifier beside the reference, so that a number that becomes known is a change
// of everything that hangs on it. Of the hospital's Patients (fhir.patients:
// conditional) the one of the label stays behind then: a transaction cannot ask
// whether the hospital has that number already, and to add it to ours, or to make
// ours inactive, would be wrong in one of the two cases.
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

// multiple says the order of birth, or only whether there were several.
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
