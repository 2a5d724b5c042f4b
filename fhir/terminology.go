package fhir

import (
	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// Terminology is the code system of the unit's own codes and a value set for each
// field that takes a word, for a receiver to load before anything that uses them.
func Terminology(p *handover.Policy) ([]*Resource, error) {
	system := p.FHIR.Base + ownSystemPath
	cs := &r4.CodeSystem{
		Url: &system, Version: ptr(ownSystemVersion), Name: ptr(ownSystemName), Title: ptr(ownSystemTitle),
		Experimental: &p.FHIR.Test, Date: ptr(packageDate), Publisher: &p.Unit, Description: ptr(ownSystemSays), CaseSensitive: ptr(true),
		Content: r4.CodeSystemContentModeComplete, Count: ptr(len(ownConcepts)),
	}
	for _, c := range ownConcepts {
		cs.Concept = append(cs.Concept, r4.CodeSystemConcept{Code: c.code, Display: ptr(c.display), Definition: ptr(c.meaning)})
	}
	out := []*Resource{{Type: "CodeSystem", ID: ownSystemID, model: &resource{kind: "CodeSystem", id: ownSystemID, status: active, body: cs}}}
	for _, set := range valueSets {
		out = append(out, defineSet(set, p))
	}
	for _, r := range out {
		if err := r.encode(p); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func defineSet(s valueSet, p *handover.Policy) *Resource {
	system := p.FHIR.Base + ownSystemPath
	include := r4.ValueSetComposeInclude{System: &system, Version: ptr(ownSystemVersion)}
	for _, c := range s.concepts {
		include.Concept = append(include.Concept, r4.ValueSetComposeIncludeConcept{Code: c.code, Display: ptr(c.display)})
	}
	return definition(s.group, &r4.ValueSet{
		Url: ptr(p.FHIR.Base + valueSetPath + s.group), Version: ptr(ownSystemVersion), Name: ptr(ownSystemName + camel(s.group)),
		Title: ptr(ownSystemTitle + ": " + s.title), Experimental: &p.FHIR.Test, Date: ptr(packageDate), Publisher: &p.Unit,
		Compose: &r4.ValueSetCompose{Include: []r4.ValueSetComposeInclude{include}},
	})
}

// camel is a group as part of a computable name.
func camel(s string) string {
	var out []byte
	up := true
	for i := range len(s) {
		switch {
		case s[i] == '-':
			up = true
		case up && s[i] >= 'a' && s[i] <= 'z':
			out, up = append(out, s[i]-'a'+'A'), false
		default:
			out, up = append(out, s[i]), false
		}
	}
	return string(out)
}
