package guide_test

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"

	"cotline/fhir/guide"
	"cotline/handover"
	"cotline/handover/entry"
)

// What a receiver loads before the first bundle, by the unit's own address.
func ExampleDefinitions() {
	written, _ := entry.ParseJSON([]byte(`{"fhir":{"base":"https://site.example/fhir"}}`))
	policy, _ := handover.DecodePolicy(written, time.LoadLocation)
	definitions, err := guide.Definitions(policy)
	if err != nil {
		panic(err)
	}
	types := map[string]bool{}
	for _, d := range definitions {
		types[d.Type] = true
	}
	fmt.Println(strings.Join(slices.Sorted(maps.Keys(types)), "\n"))
	// Output:
	// CapabilityStatement
	// CodeSystem
	// ConceptMap
	// StructureDefinition
	// ValueSet
}

// Every own code with what it is called and what it means, in the order of the code
// system.
func ExampleCodes() {
	for _, code := range guide.Codes()[:2] {
		fmt.Printf("%s\n  %s\n  %s\n", code[0], code[1], code[2])
	}
	// Output:
	// birth-weight
	//   Birth weight
	//   Weight at birth, in grams.
	// gestation
	//   Gestation at birth
	//   Gestational age at birth in days; in completed weeks where the days are not known.
}
