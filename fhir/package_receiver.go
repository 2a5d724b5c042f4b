package fhir

import (
	"slices"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

const capabilitiesID = "receiver"

// received is what a receiver has to do with a type: conditional create by identifier
// for what is the hospital's or shared, conditional update for what can be corrected
// or withdrawn. Transactions are written so.
var received = []struct {
	kind           string
	create, update bool // conditionally, by identifier
	says           string
}{
	{"Patient", true, false, "By hospital number: created only where there is none of that number. An infant without a number is identified by our own identifier until there is one; then another Patient is created, or the one of that number is there, and the first stays behind."},
	{"Practitioner", true, false, "By staff key; in mode conditional created only where there is none. No entry corrects it."},
	{"Location", true, false, "A cot; in mode conditional created only where there is none. No entry corrects it."},
	{"Encounter", false, true, "The stay."},
	{"Device", true, true, "An infant's is updated: its size may be charted later, its Patient change with the number, its status with its wear. A driver, which infants share, is in mode conditional created only where there is none."},
	{"DeviceMetric", false, true, "State of the oxygen sensor."},
	{"DeviceUseStatement", false, true, "Status is a modifier: entered-in-error must not be shown as use."},
	{"Observation", false, true, "Status is a modifier: entered-in-error must not be shown as a finding; corrected replaces what was there."},
	{"Task", false, true, "What is to be done; overdue is not a status."},
	{"Flag", false, true, "What to mind about an infant beside others; inactive once it is over."},
	{"Basic", false, true, "The text of an entry that yields no resource of another type."},
	{"Provenance", false, false, "Of a correction, and of taking one back. It has no identifier, so it is sent in mode put only."},
}

// capabilities are what a receiver must be able to do: a statement of requirements.
func capabilities(p *handover.Policy) *Resource {
	rest := r4.CapabilityStatementRest{
		Mode: r4.RestfulCapabilityModeServer,
		Documentation: ptr("Transactions: all or nothing, references of urn:uuid resolved, answers in the order of the entries. One mode a receiver for good: put needs updateCreate, conditional needs conditionalUpdate. " +
			"Sending again is harmless; older content must not be sent over newer, for a transaction carries no versions. Load this package first: codes, value sets and profiles are of its version. References to staff are logical. Numbers keep their decimals, moments their offset."),
		Interaction: []r4.CapabilityStatementRestInteraction{{Code: r4.SystemRestfulInteractionTransaction}},
	}
	for _, t := range received {
		if t.kind != "Patient" && !slices.Contains(p.FHIR.Send, t.kind) {
			continue
		}
		if t.kind == "Patient" && p.FHIR.Patients == patientsOurs {
			t.create, t.update, t.says = false, true, "Ours, by our own identifier: a hospital number that becomes known is added to it."
		}
		one := r4.CapabilityStatementRestResource{
			Documentation: &t.says, ConditionalCreate: &t.create, UpdateCreate: ptr(t.kind != "Patient" || p.FHIR.Patients == patientsOurs), ConditionalUpdate: &t.update,
			Interaction: []r4.CapabilityStatementRestResourceInteraction{{Code: r4.TypeRestfulInteractionCreate}, {Code: r4.TypeRestfulInteractionUpdate}, {Code: r4.TypeRestfulInteractionRead}, {Code: r4.TypeRestfulInteractionSearchType}},
		}
		if t.kind != "Provenance" {
			one.SearchParam = []r4.CapabilityStatementRestResourceSearchParam{{Name: "identifier", Type: r4.SearchParamTypeToken}}
		}
		if err := one.Type.UnmarshalJSON(entry.AppendString(nil, t.kind)); err != nil {
			panic(err) // a type of this very list
		}
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

// vitalProfiles are R4's profiles of the vital signs that are sent
// (hl7.org/fhir/R4/observation-vitalsigns.html).
var vitalProfiles = []string{"oxygensat", "heartrate", "resprate", "bodytemp", "bodyweight", "headcircum"}
