package guide

import (
	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// Terminology is the code system of own codes, that of the unit's own lists, and a value
// set for each field that takes a word, for a receiver to load before anything that uses
// them. Former policies of the unit add what their lists named.
func Terminology(p *handover.Policy, former ...*handover.Policy) ([]*r4.Resource, error) {
	system := p.FHIR.Base + r4.OwnSystemPath
	cs := &models.CodeSystem{
		Url: &system, Version: r4.Ptr(r4.OwnSystemVersion), Name: r4.Ptr(r4.OwnSystemName), Title: r4.Ptr(r4.OwnSystemTitle),
		Experimental: &p.FHIR.Test, Date: r4.Ptr(r4.OwnSystemDate), Publisher: &p.Unit, Description: r4.Ptr(r4.OwnSystemSays),
		CaseSensitive: r4.Ptr(true),
		Content:       models.CodeSystemContentModeComplete, Count: r4.Ptr(len(r4.OwnConcepts)),
	}
	for _, c := range r4.OwnConcepts {
		cs.Concept = append(cs.Concept, models.CodeSystemConcept{Code: c.Code, Display: r4.Ptr(c.Display), Definition: r4.Ptr(c.Meaning)})
	}
	out := []*r4.Resource{{Type: "CodeSystem", ID: r4.OwnSystemID,
		Model: &r4.Model{Kind: "CodeSystem", ID: r4.OwnSystemID, Status: r4.Active, Body: cs}}}
	out = append(out, unitLists(p, former))
	for _, set := range r4.ValueSets {
		out = append(out, defineSet(set, p))
	}
	for _, r := range out {
		if err := r.Encode(p); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// unitLists is the code system of what the unit's lists name, or named. Its version is of
// its own content, which changes with the policy. It is a fragment: what nobody lists any
// more may still be told of an older entry.
func unitLists(p *handover.Policy, former []*handover.Policy) *r4.Resource {
	all := r4.UnitConcepts(append(former[:len(former):len(former)], p)...)
	cs := &models.CodeSystem{
		Url: r4.Ptr(p.FHIR.Base + r4.UnitSystemPath), Version: r4.Ptr(r4.UnitVersion(all)), Name: r4.Ptr(r4.UnitSystemName),
		Title: r4.Ptr(r4.UnitSystemTitle), Experimental: &p.FHIR.Test, Date: r4.Ptr(r4.OwnSystemDate), Publisher: &p.Unit,
		Description: r4.Ptr(r4.UnitSystemSays), CaseSensitive: r4.Ptr(true), Content: models.CodeSystemContentModeFragment,
	}
	for _, c := range all {
		cs.Concept = append(cs.Concept, models.CodeSystemConcept{Code: c.Code, Display: &c.Display, Definition: &c.Meaning})
	}
	return &r4.Resource{Type: "CodeSystem", ID: r4.UnitSystemID,
		Model: &r4.Model{Kind: "CodeSystem", ID: r4.UnitSystemID, Status: r4.Active, Body: cs}}
}

func defineSet(s r4.ValueSet, p *handover.Policy) *r4.Resource {
	system := p.FHIR.Base + r4.OwnSystemPath
	include := models.ValueSetComposeInclude{System: &system, Version: r4.Ptr(r4.OwnSystemVersion)}
	for _, c := range s.Concepts {
		include.Concept = append(include.Concept, models.ValueSetComposeIncludeConcept{Code: c.Code, Display: r4.Some(c.Display)})
	}
	return definition(s.Group, &models.ValueSet{
		Url: r4.Ptr(p.FHIR.Base + r4.ValueSetPath + s.Group), Version: r4.Ptr(r4.OwnSystemVersion),
		Name:  r4.Ptr(r4.OwnSystemName + camel(s.Group)),
		Title: r4.Ptr(r4.OwnSystemTitle + ": " + s.Title), Experimental: &p.FHIR.Test, Date: r4.Ptr(r4.OwnSystemDate), Publisher: &p.Unit,
		Compose: &models.ValueSetCompose{Include: []models.ValueSetComposeInclude{include}},
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
