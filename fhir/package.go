package fhir

import (
	"fmt"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

// The package by which it is published. Its version is that of the code system, and
// of every definition in it.
const (
	packageName  = "cotline.neonatal-cpap"
	packageTitle = "Handover of newborn infants on nasal CPAP"
	packageDate  = "2026-11-25" // of the definitions; raised with the version
	fhirRelease  = "4.0.1"
	corePackage  = "hl7.fhir.r4.core"
	copyrights   = "LOINC codes and names: copyright Regenstrief Institute, used under the LOINC licence (loinc.org/license). " +
		"SNOMED CT codes: of the Global Patient Set, copyright SNOMED International, CC BY 4.0; without endorsement."
)

// Definitions are everything that a receiver or a validator loads to understand an
// export: the terminology, the value sets and profiles of what is sent, the map of
// own codes to published ones, and what a receiver has to be able to do. Each has
// passed the checker.
func Definitions(p *handover.Policy) ([]*Resource, error) {
	out, err := Terminology(p)
	if err != nil {
		return nil, err
	}
	var more []*Resource
	for _, s := range profileSets {
		more = append(more, s.resource(p))
	}
	for _, s := range profiles {
		more = append(more, s.resource(p))
	}
	more = append(more, CarryDefinition(p), conceptMap(p), capabilities(p))
	for _, r := range more {
		if err := r.encode(p); err != nil {
			return nil, err
		}
	}
	out = append(out, more...)
	for _, r := range out {
		if faults := Check(r.JSON); len(faults) > 0 {
			return nil, fmt.Errorf("%s/%s: %s", r.Type, r.ID, faults[0])
		}
	}
	return out, nil
}

// Package is a FHIR package of the definitions, as files below the folder package.
// Of shown, the first resource of each profile goes along as an example. Nothing
// changes under a version: testdata/versions.txt holds each to what it published.
func Package(p *handover.Policy, shown []*Resource) ([]File, error) {
	defined, err := Definitions(p)
	if err != nil {
		return nil, err
	}
	examples := exampled(p, shown)
	guide := guide(p, defined, examples)
	if err := guide.encode(p); err != nil {
		return nil, err
	}
	defined = append(defined, guide)
	files := []File{{Name: "package/package.json", Content: packageJSON(p)}}
	for _, of := range []struct {
		folder    string
		resources []*Resource
	}{{"package/", defined}, {"package/example/", examples}} {
		for _, r := range of.resources {
			files = append(files, File{Name: of.folder + r.fileName(), Type: r.Type, Count: 1, Content: append(r.JSON[:len(r.JSON):len(r.JSON)], '\n')})
		}
		files = append(files, File{Name: of.folder + ".index.json", Content: indexJSON(of.resources)})
	}
	return files, nil
}

func (r *Resource) fileName() string { return r.Type + "-" + r.ID + ".json" }

// exampled is the first resource of each profile.
func exampled(p *handover.Policy, shown []*Resource) []*Resource {
	var out []*Resource
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
	for _, f := range [][2]string{{"name", packageName}, {"version", ownSystemVersion}, {"type", "fhir.ig"}, {"title", packageTitle},
		{"description", ownSystemSays}, {"author", p.Unit}, {"canonical", p.FHIR.Base}, {"url", p.FHIR.Base}} {
		out = append(out, "  "...)
		out = entry.AppendString(out, f[0])
		out = append(out, ": "...)
		out = append(entry.AppendString(out, f[1]), ",\n"...)
	}
	return fmt.Appendf(out, "  \"fhirVersions\": [%q],\n  \"dependencies\": {%q: %q}\n}\n", fhirRelease, corePackage, fhirRelease)
}

// indexJSON is the index of a package's folder, as tools that read FHIR packages
// expect it (version 1 of the index).
func indexJSON(resources []*Resource) []byte {
	out := []byte(`{"index-version":1,"files":[`)
	for n, r := range resources {
		if n > 0 {
			out = append(out, ',')
		}
		out = append(out, "\n"...)
		members := [][2]string{{"filename", r.fileName()}, {"resourceType", r.Type}, {"id", r.ID}}
		if d, ok := definitionOf(r.model); ok {
			members = append(members, [2]string{"url", d.url}, [2]string{"version", ownSystemVersion})
		}
		if s, ok := r.model.body.(*r4.StructureDefinition); ok {
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
func guide(p *handover.Policy, defined, examples []*Resource) *Resource {
	var all []r4.ImplementationGuideDefinitionResource
	for _, r := range defined {
		d, _ := definitionOf(r.model)
		all = append(all, r4.ImplementationGuideDefinitionResource{Reference: *literal(r.Type, r.ID), Name: &d.title, ExampleBoolean: ptr(false)})
	}
	for _, r := range examples {
		all = append(all, r4.ImplementationGuideDefinitionResource{Reference: *literal(r.Type, r.ID), ExampleCanonical: ptr(ProfileOf(p, r))})
	}
	return definition(packageName, &r4.ImplementationGuide{
		Url: p.FHIR.Base + "/ImplementationGuide/" + packageName, Version: ptr(ownSystemVersion), Name: ownSystemName + "Handover", Title: ptr(packageTitle),
		Experimental: &p.FHIR.Test, Date: ptr(packageDate), Publisher: &p.Unit, Description: ptr(ownSystemSays + " " + mustSupportSays), Copyright: ptr(copyrights),
		PackageId: packageName, FhirVersion: []r4.FHIRVersion{r4.FHIRVersion4_0_1}, Definition: &r4.ImplementationGuideDefinition{Resource: all},
	})
}

// definition is a resource of those that define.
func definition(id string, body any) *Resource {
	r := &Resource{ID: id, model: &resource{id: id, status: active, body: body}}
	switch body.(type) {
	case *r4.ImplementationGuide:
		r.Type = "ImplementationGuide"
	case *r4.StructureDefinition:
		r.Type = "StructureDefinition"
	case *r4.ConceptMap:
		r.Type = "ConceptMap"
	case *r4.CapabilityStatement:
		r.Type = "CapabilityStatement"
	case *r4.ValueSet:
		r.Type = "ValueSet"
	}
	r.model.kind = r.Type
	return r
}

// defined is what every definition says of itself.
type defined struct{ url, title, says string }

func definitionOf(r *resource) (defined, bool) {
	switch m := r.body.(type) {
	case *r4.CodeSystem:
		return defined{of(m.Url), of(m.Title), of(m.Description)}, true
	case *r4.ValueSet:
		return defined{of(m.Url), of(m.Title), of(m.Description)}, true
	case *r4.ConceptMap:
		return defined{of(m.Url), of(m.Title), of(m.Description)}, true
	case *r4.StructureDefinition:
		return defined{m.Url, of(m.Title), of(m.Description)}, true
	case *r4.ImplementationGuide:
		return defined{m.Url, of(m.Title), of(m.Description)}, true
	case *r4.CapabilityStatement:
		return defined{of(m.Url), of(m.Title), of(m.Description)}, true
	}
	return defined{}, false
}

// finishDefinition gives a definition its id and a narrative of what it says.
func (r *Resource) finishDefinition(meta *r4.Meta) bool {
	d, ok := definitionOf(r.model)
	if !ok {
		return false
	}
	page := newPage()
	page.line(d.title)
	page.line(d.says)
	switch m := r.model.body.(type) {
	case *r4.ImplementationGuide:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.done()
	case *r4.StructureDefinition:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.done()
	case *r4.ConceptMap:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.done()
	case *r4.CapabilityStatement:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.done()
	}
	return true
}

// Codes lists the own codes in the order of the code system: code, display, meaning.
func Codes() [][3]string {
	var out [][3]string
	for _, c := range ownConcepts {
		out = append(out, [3]string{c.code, c.display, c.meaning})
	}
	return out
}
