package guide

import (
	"slices"

	"cotline/fhir"
	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

const capabilitiesID = "receiver"

// received is what a receiver has to do with a type, for transactions are written so:
// create by identifier what is the hospital's or shared, update by identifier what can
// be corrected or withdrawn.
var received = []struct {
	kind           string
	create, update bool // conditionally, by identifier
	says           string
}{
	{"Patient", true, true, "By hospital number: created only where there is none of that number. An infant without a number is a " +
		"Patient of ours, updated by its own id or identifier; once there is a number it is no longer active, and its link says which " +
		"Patient replaces it."},
	{"Practitioner", true, false, "By staff key; in mode conditional created only where there is none. No entry corrects it."},
	{"Location", true, false, "A cot; in mode conditional created only where there is none. No entry corrects it."},
	{"Encounter", false, true, "The stay."},
	{"Device", true, true, "An infant's is updated: its size may be charted later, its Patient change with the number, its status with " +
		"its wear. A driver, which infants share, is in mode conditional created only where there is none."},
	{"DeviceMetric", false, true, "State of the oxygen sensor."},
	{"DeviceUseStatement", false, true, "Status is a modifier: entered-in-error must not be shown as use."},
	{"Observation", false, true, "Status is a modifier: entered-in-error must not be shown as a finding; corrected " +
		"replaces what was there."},
	{"Task", false, true, "What is to be done; overdue is not a status."},
	{"Flag", false, true, "What to mind about an infant beside others; inactive once it is over."},
	{"Basic", false, true, "The text of an entry that yields no resource of another type."},
	{"Provenance", false, false, "Of a correction, and of taking one back. It has no identifier, so it is sent in mode put only."},
}

// capabilities are what a receiver must be able to do: a statement of requirements.
func capabilities(p *handover.Policy) *r4.Resource {
	rest := models.CapabilityStatementRest{
		Mode: models.RestfulCapabilityModeServer,
		Documentation: r4.Ptr("Transactions: all or nothing, references of urn:uuid resolved, answers in the order of the entries. One " +
			"mode a receiver for good: put needs updateCreate, conditional needs conditionalUpdate. " +
			"Sending again is harmless; older content must not be sent over newer, for a transaction carries no versions. Load this " +
			"package first: codes, value sets and profiles are of its version. References to staff are logical. Numbers keep their " +
			"decimals, moments their offset."),
		Interaction: []models.CapabilityStatementRestInteraction{{Code: models.SystemRestfulInteractionTransaction}},
	}
	for _, t := range received {
		if t.kind != "Patient" && !slices.Contains(p.FHIR.Send, t.kind) {
			continue
		}
		if t.kind == "Patient" && p.FHIR.Patients == fhir.PatientsOurs {
			t.create, t.update, t.says = false, true, "Ours, by our own identifier: a hospital number that becomes known is added to it."
		}
		one := models.CapabilityStatementRestResource{
			Documentation: &t.says, ConditionalCreate: &t.create,
			UpdateCreate: r4.Ptr(true), ConditionalUpdate: &t.update,
			Interaction: []models.CapabilityStatementRestResourceInteraction{{Code: models.TypeRestfulInteractionCreate},
				{Code: models.TypeRestfulInteractionUpdate}, {Code: models.TypeRestfulInteractionRead},
				{Code: models.TypeRestfulInteractionSearchType}},
		}
		if t.kind != "Provenance" {
			one.SearchParam = []models.CapabilityStatementRestResourceSearchParam{{Name: "identifier", Type: models.SearchParamTypeToken}}
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
	return definition(capabilitiesID, &models.CapabilityStatement{
		Url: r4.Ptr(p.FHIR.Base + "/CapabilityStatement/" + capabilitiesID), Version: r4.Ptr(r4.OwnSystemVersion),
		Name: r4.Ptr(r4.OwnSystemName + "Receiver"), Title: r4.Ptr("What a receiver supports"),
		Experimental: &p.FHIR.Test, Date: r4.OwnSystemDate, Publisher: &p.Unit, Kind: models.CapabilityStatementKindRequirements,
		FhirVersion: models.FHIRVersion4_0_1,
		Description: r4.Ptr("What a record system has to be able to do to take the handover. " + r4.Caution),
		Format:      []string{"application/fhir+json"}, ImplementationGuide: []string{p.FHIR.Base + "/ImplementationGuide/" + packageName},
		Rest: []models.CapabilityStatementRest{rest},
	})
}

// vitalProfiles are R4's profiles of the vital signs that are sent
// (hl7.org/fhir/R4/observation-vitalsigns.html).
var vitalProfiles = []string{"oxygensat", "heartrate", "resprate", "bodytemp", "bodyweight", "headcircum"}
