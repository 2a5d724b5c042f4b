package guide

import (
	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// carryDefinition defines the extension that carries an entry's text.
func carryDefinition(p *handover.Policy) *r4.Resource {
	element := func(path string, min int, max string) models.ElementDefinition {
		return models.ElementDefinition{Id: &path, Path: path, Min: &min, Max: &max}
	}
	url := p.FHIR.Base + r4.CarryPath
	root, none, name, value := element("Extension", 0, "*"), element("Extension.extension", 0, "0"), element("Extension.url", 1, "1"),
		element("Extension.value[x]", 1, "1")
	root.Short, name.FixedUri = r4.Ptr(carryTitle), &url
	value.Type = []models.ElementDefinitionType{{Code: "string"}}
	all := []models.ElementDefinition{root, none, name, value}
	var contexts []models.StructureDefinitionContext
	for _, on := range []string{"Observation", "DeviceUseStatement", "Basic"} {
		contexts = append(contexts, models.StructureDefinitionContext{Type: models.ExtensionContextTypeElement, Expression: on})
	}
	return definition(r4.CareEntry.Code, &models.StructureDefinition{
		Url: url, Version: r4.Ptr(r4.OwnSystemVersion), Name: r4.OwnSystemName + camel(r4.CareEntry.Code), Title: r4.Ptr(carryTitle),
		Experimental: &p.FHIR.Test, Date: r4.Ptr(r4.OwnSystemDate), Publisher: &p.Unit, Description: r4.Ptr(carrySays),
		FhirVersion: r4.Ptr(models.FHIRVersion4_0_1),
		Kind:        models.StructureDefinitionKindComplexType, Context: contexts, Type: "Extension",
		BaseDefinition: r4.Ptr(baseProfiles + "Extension"),
		Derivation:     r4.Ptr(models.TypeDerivationRuleConstraint),
		Snapshot:       &models.StructureDefinitionSnapshot{Element: snapshot(baseOf("Extension"), all)},
		Differential:   &models.StructureDefinitionDifferential{Element: all},
	})
}

const (
	carryTitle = "Text of a care entry"
	carrySays  = "The canonical JSON text of the entry that a resource comes of, or of a correction or retraction of it: with it the " +
		"record can be read back without loss. It says nothing that a reader of the resource needs."
)
