package guide

import (
	"fmt"

	"cotline/fhir"
	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// The package by which it is published. Its version is that of the code system, and
// of every definition in it.
const (
	packageName  = "cotline.neonatal-cpap"
	packageTitle = "Handover of newborn infants on nasal CPAP"
	fhirRelease  = "4.0.1"
	corePackage  = "hl7.fhir.r4.core"
	copyrights   = "LOINC codes and names: copyright Regenstrief Institute, used under the LOINC licence (loinc.org/license). " +
		"SNOMED CT codes: of the Global Patient Set, copyright SNOMED International, CC BY 4.0; without endorsement."
)

// Definitions are everything that a receiver or a validator loads to understand an
// export: the terminology, the value sets and profiles of what is sent, the map of
// own codes to published ones, and what a receiver has to be able to do. Each has
// passed the checker.
func Definitions(p *handover.Policy, former ...*handover.Policy) ([]*r4.Resource, error) {
	out, err := Terminology(p, former...)
	if err != nil {
		return nil, err
	}
	var more []*r4.Resource
	for _, s := range profileSets {
		more = append(more, defineSet(s, p))
	}
	for _, s := range profiles {
		more = append(more, s.resource(p))
	}
	more = append(more, carryDefinition(p), conceptMap(p), capabilities(p))
	for _, r := range more {
		if err := r.Encode(p); err != nil {
			return nil, err
		}
	}
	out = append(out, more...)
	for _, r := range out {
		if faults := r4.Check(r.JSON); len(faults) > 0 {
			return nil, fmt.Errorf("%s/%s: %s", r.Type, r.ID, faults[0])
		}
	}
	return out, nil
}

// Package is a FHIR package of the definitions, as files below the folder package. The
// first resource in shown of each profile goes along as its example. Nothing changes
// under a version: testdata/versions.txt holds each version to what it published. Former
// policies of the unit add to the code system of its lists what they named.
func Package(p *handover.Policy, shown []*r4.Resource, former ...*handover.Policy) ([]fhir.File, error) {
	defined, err := Definitions(p, former...)
	if err != nil {
		return nil, err
	}
	examples := exampled(p, shown)
	guide := guide(p, defined, examples)
	if err := guide.Encode(p); err != nil {
		return nil, err
	}
	defined = append(defined, guide)
	files := []fhir.File{{Name: "package/package.json", Content: packageJSON(p)}}
	for _, of := range []struct {
		folder    string
		resources []*r4.Resource
	}{{"package/", defined}, {"package/example/", examples}} {
		for _, r := range of.resources {
			files = append(files, fhir.File{Name: of.folder + fileName(r), Type: r.Type, Count: 1,
				Content: append(r.JSON[:len(r.JSON):len(r.JSON)], '\n')})
		}
		files = append(files, fhir.File{Name: of.folder + ".index.json", Content: indexJSON(of.resources)})
	}
	return files, nil
}

func fileName(r *r4.Resource) string { return r.Type + "-" + r.ID + ".json" }

// exampled is the first resource of each profile.
func exampled(p *handover.Policy, shown []*r4.Resource) []*r4.Resource {
	var out []*r4.Resource
	seen := map[string]bool{}
	for _, r := range shown {
		if of := ProfileOf(p, r); of != "" && !seen[of] {
			seen[of] = true
			out = append(out, r)
		}
	}
	return out
}

func packageJSON(p *handover.Policy) []byte {
	out := []byte("{\n")
	for _, f := range [][2]string{{"name", packageName}, {"version", r4.OwnSystemVersion}, {"type", "fhir.ig"}, {"title", packageTitle},
		{"description", r4.OwnSystemSays}, {"author", p.Unit}, {"canonical", p.FHIR.Base}, {"url", p.FHIR.Base}} {
		out = append(out, "  "...)
		out = entry.AppendString(out, f[0])
		out = append(out, ": "...)
		out = append(entry.AppendString(out, f[1]), ",\n"...)
	}
	return fmt.Appendf(out, "  \"fhirVersions\": [%q],\n  \"dependencies\": {%q: %q}\n}\n", fhirRelease, corePackage, fhirRelease)
}

// indexJSON is the index of a package's folder, as tools that read FHIR packages
// expect it (version 1 of the index).
func indexJSON(resources []*r4.Resource) []byte {
	out := []byte(`{"index-version":1,"files":[`)
	for n, r := range resources {
		if n > 0 {
			out = append(out, ',')
		}
		out = append(out, "\n"...)
		members := [][2]string{{"filename", fileName(r)}, {"resourceType", r.Type}, {"id", r.ID}}
		if d, ok := r4.DefinitionOf(r.Model); ok {
			members = append(members, [2]string{"url", d.URL}, [2]string{"version", d.Version})
		}
		if s, ok := r.Model.Body.(*models.StructureDefinition); ok {
			members = append(members, [2]string{"kind", s.Kind.Code()}, [2]string{"type", s.Type})
		}
		for i, m := range members {
			out = append(out, "{,"[min(i, 1)])
			out = entry.AppendString(out, m[0])
			out = append(out, ':')
			out = entry.AppendString(out, m[1])
		}
		out = append(out, '}')
	}
	return append(out, "\n]}\n"...)
}

// guide lists what the package holds.
func guide(p *handover.Policy, defined, examples []*r4.Resource) *r4.Resource {
	var all []models.ImplementationGuideDefinitionResource
	for _, r := range defined {
		d, _ := r4.DefinitionOf(r.Model)
		all = append(all, models.ImplementationGuideDefinitionResource{Reference: *r4.Literal(r.Type, r.ID), Name: &d.Title,
			ExampleBoolean: r4.Ptr(false)})
	}
	for _, r := range examples {
		all = append(all, models.ImplementationGuideDefinitionResource{Reference: *r4.Literal(r.Type, r.ID),
			ExampleCanonical: r4.Ptr(ProfileOf(p, r))})
	}
	return definition(packageName, &models.ImplementationGuide{
		Url: p.FHIR.Base + "/ImplementationGuide/" + packageName, Version: r4.Ptr(r4.OwnSystemVersion),
		Name: r4.OwnSystemName + "Handover", Title: r4.Ptr(packageTitle),
		Experimental: &p.FHIR.Test, Date: r4.Ptr(r4.OwnSystemDate), Publisher: &p.Unit,
		Description: r4.Ptr(r4.OwnSystemSays + " " + mustSupportSays), Copyright: r4.Ptr(copyrights),
		PackageId: packageName, FhirVersion: []models.FHIRVersion{models.FHIRVersion4_0_1},
		Definition: &models.ImplementationGuideDefinition{Resource: all},
	})
}

// definition is a resource of those that define.
func definition(id string, body any) *r4.Resource {
	r := &r4.Resource{ID: id, Model: &r4.Model{ID: id, Status: r4.Active, Body: body}}
	switch body.(type) {
	case *models.ImplementationGuide:
		r.Type = "ImplementationGuide"
	case *models.StructureDefinition:
		r.Type = "StructureDefinition"
	case *models.ConceptMap:
		r.Type = "ConceptMap"
	case *models.CapabilityStatement:
		r.Type = "CapabilityStatement"
	case *models.ValueSet:
		r.Type = "ValueSet"
	}
	r.Model.Kind = r.Type
	return r
}

// Codes lists the own codes in the order of the code system: code, display, meaning.
func Codes() [][3]string { return told(r4.OwnConcepts) }

// UnitCodes lists likewise the codes of what the lists of some policies name.
func UnitCodes(policies ...*handover.Policy) [][3]string { return told(r4.UnitConcepts(policies...)) }

func told(concepts []r4.Concept) (out [][3]string) {
	for _, c := range concepts {
		out = append(out, [3]string{c.Code, c.Display, c.Meaning})
	}
	return out
}
