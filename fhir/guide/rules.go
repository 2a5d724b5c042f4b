package guide

import (
	"strings"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// rule constrains an element: how often it stands there, and what it says. An element
// that may stand there is marked as must-support; mustSupportSays tells a receiver what
// that asks of it.
type rule struct {
	path   string // below the type
	min    int
	max    string
	types  string       // of a choice, by space
	target string       // of a reference, in R4, by space
	coding *r4.Standard // that the concept holds
	own    string       // own code that the concept holds
	set    string       // own value set that its own codings are of
	most   string       // most own codings of that set; empty: one
	bare   *r4.Standard // what a Coding says
	word   string       // what a code says
	unit   *r4.Unit     // of a Quantity; an empty UCUM code: any UCUM unit
	carry  bool         // extensions, of which one at least carries an entry's text
}

const mustSupportSays = "Must support, of an element: a receiver that keeps the resource keeps the element too, and shows it wherever " +
	"it shows the resource. What a profile rules out is never sent."

// identified are the business identifiers, which every type but Provenance has, and the
// rules that follow.
func identified(max string, further ...rule) []rule {
	return append([]rule{{path: "identifier", min: 1, max: max}, {path: "identifier.system", min: 1, max: "1"},
		{path: "identifier.value", min: 1, max: "1"}}, further...)
}

// always is an element that is there once.
func always(path string) rule { return rule{path: path, min: 1, max: "1"} }

// to is a reference that is there once.
func to(path, target string) rule { return rule{path: path, min: 1, max: "1", target: target} }

// never are elements that are never sent.
func never(paths ...string) []rule {
	var out []rule
	for _, p := range paths {
		out = append(out, rule{path: p, max: "0"})
	}
	return out
}

// elements are a rule as elements of the differential. An own value set binds the own
// coding alone, because a concept may also hold a published one and the site's.
func (r rule) elements(p *handover.Policy, kind string) []models.ElementDefinition {
	path := kind + "." + r.path
	e := models.ElementDefinition{Id: &path, Path: path, Min: r4.Ptr(r.min), Max: &r.max}
	if r.max != "0" {
		e.MustSupport = r4.Ptr(true)
	}
	for t := range strings.FieldsSeq(r.types) {
		e.Type = append(e.Type, models.ElementDefinitionType{Code: t})
	}
	if r.target != "" {
		to := models.ElementDefinitionType{Code: "Reference"}
		for t := range strings.FieldsSeq(r.target) {
			to.TargetProfile = append(to.TargetProfile, baseProfiles+t)
		}
		e.Type = append(e.Type, to)
	}
	system := p.FHIR.Base + r4.OwnSystemPath
	var said []models.Coding
	if r.own != "" {
		said = append(said, r4.Standard{System: system, Code: r.own}.Coding())
	}
	if r.coding != nil {
		said = append(said, r.coding.Coding())
	}
	switch {
	case said != nil:
		e.PatternCodeableConcept = &models.CodeableConcept{Coding: said}
	case r.bare != nil:
		e.PatternCoding = r4.Ptr(r.bare.Coding())
	case r.word != "":
		e.PatternCode = &r.word
	case r.unit != nil:
		e.PatternQuantity = &models.Quantity{System: r4.Ptr(r4.UCUMSystem), Code: r4.Some(r.unit.UCUM)}
	case r.set != "":
		return append([]models.ElementDefinition{e}, r.bound(p, path, system)...)
	case r.carry:
		e.Slicing = sliced("url")
		slice := path + ":" + r4.CareEntry.Code
		return []models.ElementDefinition{e, {Id: &slice, Path: path, SliceName: r4.Ptr(r4.CareEntry.Code), Min: r4.Ptr(1),
			Max: r4.Ptr("*"), MustSupport: r4.Ptr(true),
			Type: []models.ElementDefinitionType{{Code: "Extension", Profile: []string{p.FHIR.Base + r4.CarryPath}}}}}
	}
	return []models.ElementDefinition{e}
}

// bound are the codings of a concept, sliced by system: those of our own system are of
// a value set.
func (r rule) bound(p *handover.Policy, path, system string) []models.ElementDefinition {
	coding, slice, most := path+".coding", path+".coding:own", "1"
	if r.most != "" {
		most = r.most
	}
	return []models.ElementDefinition{
		{Id: &coding, Path: coding, Min: r4.Ptr(1), Max: r4.Ptr("*"), Slicing: sliced("system")},
		{Id: &slice, Path: coding, SliceName: r4.Ptr("own"), Min: r4.Ptr(1), Max: &most,
			Binding: &models.ElementDefinitionBinding{Strength: models.BindingStrengthRequired,
				ValueSet: r4.Ptr(p.FHIR.Base + r4.ValueSetPath + r.set)}},
		{Id: r4.Ptr(slice + ".system"), Path: coding + ".system", Min: r4.Ptr(1), Max: r4.Ptr("1"), FixedUri: &system}}
}

func sliced(by string) *models.ElementDefinitionSlicing {
	return &models.ElementDefinitionSlicing{Rules: models.SlicingRulesOpen,
		Discriminator: []models.ElementDefinitionSlicingDiscriminator{{Type: models.DiscriminatorTypeValue, Path: by}}}
}
