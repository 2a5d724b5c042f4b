package guide

import (
	"slices"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

const (
	baseProfiles = "http://hl7.org/fhir/StructureDefinition/" // of R4
	profilePath  = "/StructureDefinition/"                    // after fhir.base
	chartedID    = "charted-observation"
)

// profile is what a kind of resource says without fail, beyond what R4 asks. Vital
// signs keep to R4's own profiles too.
type profile struct {
	id, title, says string
	kind            string // resource type
	base            string // id of another profile of ours; empty: the type itself
	code            string // of the Observations that it is of; empty: any
	codes           string // group of profileSets, in place of one code
	most            string // most codings of it; empty: one
	rules           []rule // in the order of the elements of the type
}

// ProfileOf is the canonical address of the profile that a resource of an export
// keeps to; empty where there is none for it.
func ProfileOf(p *handover.Policy, r *r4.Resource) string {
	code := ""
	if o, ok := r.Model.Body.(*models.Observation); ok && len(o.Code.Coding) > 0 &&
		r4.StringOf(o.Code.Coding[0].System) == p.FHIR.Base+r4.OwnSystemPath {
		code = r4.StringOf(o.Code.Coding[0].Code)
	}
	found := ""
	for _, s := range profiles {
		if s.kind == r.Type && (s.code == "" && s.codes == "" || code != "" && (s.code == code || s.names(code))) {
			found = p.FHIR.Base + profilePath + s.id
		}
	}
	return found
}

// names says whether a code is of the profile's value set.
func (s *profile) names(code string) bool {
	return slices.ContainsFunc(profileSets, func(set r4.ValueSet) bool {
		return set.Group == s.codes && slices.ContainsFunc(set.Concepts, func(c r4.Concept) bool { return c.Code == code })
	})
}

// differential are the profile's rules, in the order of the elements of the type.
func (s profile) differential(p *handover.Policy) []models.ElementDefinition {
	all := []models.ElementDefinition{{Id: &s.kind, Path: s.kind, Short: &s.title}}
	for _, r := range s.rules {
		if r.path == "category" {
			all = append(all, r.elements(p, s.kind)...)
			if s.code != "" || s.codes != "" {
				all = append(all, rule{path: "code", min: 1, max: "1", own: s.code, set: s.codes, most: s.most}.elements(p, s.kind)...)
			}
			continue
		}
		all = append(all, r.elements(p, s.kind)...)
	}
	return all
}

// snapshot is the profile with all that it stands on.
func (s profile) snapshot(p *handover.Policy) []models.ElementDefinition {
	base := baseOf(s.kind)
	for _, of := range profiles {
		if of.id == s.base {
			base = of.snapshot(p)
		}
	}
	return snapshot(base, s.differential(p))
}

// resource is the profile as a StructureDefinition, with its snapshot, so that it can be
// used by who has not got R4's own.
func (s profile) resource(p *handover.Policy) *r4.Resource {
	base := baseProfiles + s.kind
	if s.base != "" {
		base = p.FHIR.Base + profilePath + s.base
	}
	return definition(s.id, &models.StructureDefinition{
		Url: p.FHIR.Base + profilePath + s.id, Version: r4.Ptr(r4.OwnSystemVersion), Name: r4.OwnSystemName + camel(s.id), Title: &s.title,
		Experimental: &p.FHIR.Test, Date: r4.Ptr(r4.OwnSystemDate), Publisher: &p.Unit,
		Description: r4.Ptr(s.says + " " + mustSupportSays),
		FhirVersion: r4.Ptr(models.FHIRVersion4_0_1),
		Kind:        models.StructureDefinitionKindResource, Type: s.kind, BaseDefinition: &base,
		Derivation:   r4.Ptr(models.TypeDerivationRuleConstraint),
		Snapshot:     &models.StructureDefinitionSnapshot{Element: s.snapshot(p)},
		Differential: &models.StructureDefinitionDifferential{Element: s.differential(p)},
	})
}
