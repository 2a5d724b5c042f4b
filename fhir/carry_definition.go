package fhir

import (
	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// CarryDefinition defines the extension that carries an entry's text.
func CarryDefinition(p *handover.Policy) *Resource {
	element := func(path string, min int, max string) r4.ElementDefinition {
		return r4.ElementDefinition{Id: &path, Path: path, Min: &min, Max: &max}
	}
	url := p.FHIR.Base + carryPath
	root, none, name, value := element("Extension", 0, "*"), element("Extension.extension", 0, "0"), element("Extension.url", 1, "1"), element("Extension.value[x]", 1, "1")
	root.Short, name.FixedUri = ptr(carryTitle), &url
	value.Type = []r4.ElementDefinitionType{{Code: "string"}}
	var contexts []r4.StructureDefinitionContext
	for _, on := range []string{"Observation", "DeviceUseStatement", "Basic"} {
		contexts = append(contexts, r4.StructureDefinitionContext{Type: r4.ExtensionContextTypeElement, Expression: on})
	}
	return definition(careEntry.code, &r4.StructureDefinition{
		Url: url, Version: ptr(ownSystemVersion), Name: ownSystemName + camel(careEntry.code), Title: ptr(carryTitle),
		Experimental: &p.FHIR.Test, Date: ptr(packageDate), Publisher: &p.Unit, Description: ptr(carrySays), FhirVersion: ptr(r4.FHIRVersion4_0_1),
		Kind: r4.StructureDefinitionKindComplexType, Context: contexts, Type: "Extension", BaseDefinition: ptr(baseProfiles + "Extension"),
		Derivation:   ptr(r4.TypeDerivationRuleConstraint),
		Differential: &r4.StructureDefinitionDifferential{Element: []r4.ElementDefinition{root, none, name, value}},
	})
}

const (
	carryTitle = "Text of a care entry"
	carrySays  = "The canonical JSON text of the entry that a resource comes of, or of a correction or retraction of it: with it the record can be read back without loss. It says nothing that a reader of the resource needs."
)
