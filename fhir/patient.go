package fhir

import (
	"strconv"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"
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
	p := &r4.Patient{}
	secondary := identifier(own.System, own.Value)
	secondary.Use = ptr(r4.IdentifierUseSecondary)
	switch mrn, label := i.identity("mrn"), i.identity("temporary"); {
	case mrn != "":
		key = Identifier{System: i.system("mrn"), Value: mrn}
		number := identifier(key.System, mrn)
		number.Use, number.Type = ptr(r4.IdentifierUseOfficial), i.codes.concept(recordNumber)
		if by := i.policy.FHIR.Identifiers["mrn"].Assigner; by != "" {
			number.Assigner = &r4.Reference{Display: &by}
		}
		p.Identifier = []r4.Identifier{*number, *secondary}
	case label != "":
		temporary := identifier(own.System+"/temporary", label)
		temporary.Use = ptr(r4.IdentifierUseTemp)
		p.Identifier = []r4.Identifier{*secondary, *temporary}
	}
	if e := i.latest("restricted"); e == nil || !e.Flag("restricted") {
		p.Name = i.name()
	}
	if sex, ok := genders[i.identity("sex")]; ok {
		p.Gender = &sex
	}
	date, moment := i.born()
	p.BirthDate = some(date)
	i.multiple(p)
	r := &resource{kind: "Patient", id: i.id, body: p}
	if moment != "" {
		r.primitive = primitive{element: "birthDate", extension: []r4.Extension{{Url: birthTimeURL, ValueDateTime: &moment}}}
	}
	i.add(i.record.Infant, key, r)
	i.subject = literal("Patient", i.id)
	i.subject.Identifier = identifier(key.System, key.Value)
}

func (i *infant) name() []r4.HumanName {
	family, given := i.identity("family"), i.identity("given")
	if family == "" && given == "" {
		return nil
	}
	name := r4.HumanName{Use: ptr(r4.NameUseOfficial), Family: some(family)}
	if given != "" {
		name.Given = []string{given}
	}
	return []r4.HumanName{name}
}

// multiple says the order of birth, or only whether there were several.
func (i *infant) multiple(p *r4.Patient) {
	order, ordered := strconv.Atoi(i.identity("birthOrder"))
	several, counted := strconv.Atoi(i.identity("multiples"))
	switch {
	case counted == nil && several == 1:
		p.MultipleBirthBoolean = ptr(false)
	case ordered == nil:
		p.MultipleBirthInteger = &order
	case counted == nil:
		p.MultipleBirthBoolean = ptr(true)
	}
}
