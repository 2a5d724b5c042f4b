package fhir

import (
	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

const capabilitiesID = "receiver"

// received is what a receiver has to do with a type, by mode of the transaction.
var received = []struct {
	kind   string
	create bool // conditionally, by identifier: what is never corrected
	says   string
}{
	{"Patient", true, "By hospital number: created only where there is none of that number (ifNoneExist). An infant without a number is identified by our own identifier until there is one."},
	{"Device", true, "Mode put: update as create. Mode conditional: conditional create."},
	{"DeviceUseStatement", false, "Mode put: update as create. Mode conditional: conditional update. Status is a modifier: entered-in-error must not be shown as use."},
	{"Observation", false, "Mode put: update as create. Mode conditional: conditional update. Status is a modifier: entered-in-error must not be shown as a finding; corrected replaces what was there."},
}

// capabilities are what a receiver must be able to do: a statement of requirements.
func capabilities(p *handover.Policy) *Resource {
	rest := r4.CapabilityStatementRest{
		Mode: r4.RestfulCapabilityModeServer,
		Documentation: ptr("Transactions: all or nothing, references of urn:uuid resolved, answers in the order of the entries. One mode a receiver for good: put needs updateCreate, conditional needs conditionalUpdate. " +
			"Sending again is harmless; older content must not be sent over newer, for a transaction carries no versions. References to staff are logical. Numbers keep their decimals, moments their offset."),
		Interaction: []r4.CapabilityStatementRestInteraction{{Code: r4.SystemRestfulInteractionTransaction}},
	}
	for _, t := range received {
		one := r4.CapabilityStatementRestResource{
			Documentation: &t.says, ConditionalCreate: &t.create, UpdateCreate: ptr(true), ConditionalUpdate: ptr(!t.create),
			Interaction: []r4.CapabilityStatementRestResourceInteraction{{Code: r4.TypeRestfulInteractionCreate}, {Code: r4.TypeRestfulInteractionUpdate}, {Code: r4.TypeRestfulInteractionRead}, {Code: r4.TypeRestfulInteractionSearchType}},
			SearchParam: []r4.CapabilityStatementRestResourceSearchParam{{Name: "identifier", Type: r4.SearchParamTypeToken}},
		}
		one.Type = resourceTypes[t.kind]
		for _, s := range profiles {
			if s.kind == t.kind {
				one.SupportedProfile = append(one.SupportedProfile, p.FHIR.Base+profilePath+s.id)
			}
		}
		if t.kind == "Observation" {
			for _, v := range vitalProfiles {
				one.SupportedProfile = append(one.SupportedProfile, baseProfiles+v)
			}
		}
		rest.Resource = append(rest.Resource, one)
	}
	return definition(capabilitiesID, &r4.CapabilityStatement{
		Url: ptr(p.FHIR.Base + "/CapabilityStatement/" + capabilitiesID), Version: ptr(ownSystemVersion), Name: ptr(ownSystemName + "Receiver"), Title: ptr("What a receiver supports"),
		Experimental: &p.FHIR.Test, Date: packageDate, Publisher: &p.Unit, Kind: r4.CapabilityStatementKindRequirements, FhirVersion: r4.FHIRVersion4_0_1,
		Description: ptr("What a record system has to be able to do to take the handover. " + caution),
		Format:      []string{"application/fhir+json"}, ImplementationGuide: []string{p.FHIR.Base + "/ImplementationGuide/" + packageName},
		Rest: []r4.CapabilityStatementRest{rest},
	})
}

var resourceTypes = map[string]r4.ResourceType{"Patient": r4.ResourceTypePatient, "Device": r4.ResourceTypeDevice,
	"DeviceUseStatement": r4.ResourceTypeDeviceUseStatement, "Observation": r4.ResourceTypeObservation}

// vitalProfiles are R4's profiles of the vital signs that are sent
// (hl7.org/fhir/R4/observation-vitalsigns.html).
var vitalProfiles = []string{"oxygensat", "heartrate", "resprate", "bodytemp", "bodyweight", "headcircum"}
