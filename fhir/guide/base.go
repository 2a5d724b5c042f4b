package guide

import (
	_ "embed"
	"encoding/json"
	"sync"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/fhir/internal/r4"
)

// baseText is what R4 (4.0.1) says of the elements of the types that profiles here stand
// on: taken from HL7's definitions (CC0, hl7.org/fhir/R4/license.html) by the oracle test
// that holds it to them; some 180 KiB, for the program carries no more of R4. Each element
// has its short description for a definition.
//
//go:embed r4.json
var baseText []byte

// baseOf are the elements of a type of R4, to be looked at only.
func baseOf(kind string) []models.ElementDefinition { return readBase()[kind] }

var readBase = sync.OnceValue(func() map[string][]models.ElementDefinition {
	var text struct {
		Constraints map[string]models.ElementDefinitionConstraint
		Types       map[string][]struct {
			models.ElementDefinition
			Keys []string // of its constraints
		}
	}
	if err := json.Unmarshal(baseText, &text); err != nil {
		panic(err) // of this very folder
	}
	out := map[string][]models.ElementDefinition{}
	for kind, elements := range text.Types {
		for _, e := range elements {
			for _, key := range e.Keys {
				c := text.Constraints[key]
				c.Key = key
				e.ElementDefinition.Constraint = append(e.ElementDefinition.Constraint, c)
			}
			e.Definition = e.Short
			if e.IsModifier == nil {
				e.IsModifier = r4.Ptr(false)
			}
			out[kind] = append(out[kind], e.ElementDefinition)
		}
	}
	return out
})
