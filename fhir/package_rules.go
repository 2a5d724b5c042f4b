package fhir

import (
	"strings"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// rule constrains an element: how often it stands there, and what it says. What may
// stand there is marked as must-support: mustSupportSays tells a receiver what that
// asks of it.
type rule struct {
	path   string // below the type
	min    int
	max    string
	types  string    // of a choice, by space
	target string    // of a reference, in R4, by space
	coding *standard // that the concept holds
	own    string    // own code that the concept holds
	set    string    // own value set that its own codings are of
	most   string    // most own codings of that set; empty: one
	bare   *standard // what a Coding says
	word   string    // what a code says
	unit   *unit     // of a Quantity; an empty UCUM code: any UCUM unit
	carry  bool      // extensions, of which one at least carries an entry's text
}

const mustSupportSays = "Must support, of an element: a receiver that keeps the resource keeps the element too, and shows it wherever it shows the resource. What a profile rules out is never sent."

// identified are the business identifiers that every type has but Provenance, with
// the rules that follow.
func identified(max string, further ...rule) []rule {
	return append([]rule{{path: "identifier", min: 1, max: max}, {path: "identifier.system", min: 1, max: "1"}, {path: "identifier.value", min: 1, max: "1"}}, further...)
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

// elements are a rule as elements of the differential. An own value set binds the
// own coding, for a concept may hold a published one and the site's besides.
func (r rule) elements(p *handover.Policy, kind string) []r4.ElementDefinition {
	path := kind + "." + r.path
	e := r4.ElementDefinition{Id: &path, Path: path, Min: ptr(r.min), Max: &r.max}
	if r.max != "0" {
		e.MustSupport = ptr(true)
	}
	for t := range strings.FieldsSeq(r.types) {
		e.Type = append(e.Type, r4.ElementDefinitionType{Code: t})
	}
	if r.target != "" {
		to := r4.ElementDefinitionType{Code: "Reference"}
		for t := range strings.FieldsSeq(r.target) {
			to.TargetProfile = append(to.TargetProfile, baseProfiles+t)
		}
		e.Type = append(e.Type, to)
	}
	system := p.FHIR.Base + ownSystemPath
	var said []r4.Coding
	if r.own != "" {
		said = append(said, standard{system: system, code: r.own}.coding())
	}
	if r.coding != nil {
		said = append(said, r.coding.coding())
	}
	switch {
	case said != nil:
		e.PatternCodeableConcept = &r4.CodeableConcept{Coding: said}
	case r.bare != nil:
		e.PatternCoding = ptr(r.bare.coding())
	case r.word != "":
		e.PatternCode = &r.word
	case r.unit != nil:
		e.PatternQuantity = &r4.Quantity{System: ptr(ucumSystem), Code: some(r.unit.ucum)}
	case r.set != "":
		return append([]r4.ElementDefinition{e}, r.bound(p, path, system)...)
	case r.carry:
		e.Slicing = sliced("url")
		slice := path + ":" + careEntry.code
		return []r4.ElementDefinition{e, {Id: &slice, Path: path, SliceName: ptr(careEntry.code), Min: ptr(1), Max: ptr("*"), MustSupport: ptr(true),
			Type: []r4.ElementDefinitionType{{Code: "Extension", Profile: []string{p.FHIR.Base + carryPath}}}}}
	}
	return []r4.ElementDefinition{e}
}

// bound are the codings of a concept, cut by system: the own ones are of a value set.
func (r rule) bound(p *handover.Policy, path, system string) []r4.ElementDefinition {
	coding, slice, most := path+".coding", path+".coding:own", "1"
	if r.most != "" {
		most = r.most
	}
	return []r4.ElementDefinition{
		{Id: &coding, Path: coding, Min: ptr(1), Max: ptr("*"), Slicing: sliced("system")},
		{Id: &slice, Path: coding, SliceName: ptr("own"), Min: ptr(1), Max: &most,
			Binding: &r4.ElementDefinitionBinding{Strength: r4.BindingStrengthRequired, ValueSet: ptr(p.FHIR.Base + valueSetPath + r.set)}},
		{Id: ptr(slice + ".system"), Path: coding + ".system", Min: ptr(1), Max: ptr("1"), FixedUri: &system}}
}

func sliced(by string) *r4.ElementDefinitionSlicing {
	return &r4.ElementDefinitionSlicing{Rules: r4.SlicingRulesOpen,
		Discriminator: []r4.ElementDefinitionSlicingDiscriminator{{Type: r4.DiscriminatorTypeValue, Path: by}}}
}
