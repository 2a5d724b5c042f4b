package r4

import models "github.com/samply/golang-fhir-models/fhir-models/fhir"

// Nearby are published codes that are only near to an own one, for the concept map:
// they never go along in an export. 20077-4: HL7 SANER 1.0.0; 8280-0:
// LOINC 2.82, in HL7 Lithuania's vital signs. SNOMED CT: Global
// Patient Set.
var Nearby = map[string][]Near{
	Abdomen.Code: {{loinc("8280-0", "Waist Circumference at umbilicus by Tape measure"),
		models.ConceptMapEquivalenceNarrower, "at the umbilicus, by tape measure"}},
	PressureSet.Code: {{loinc("20077-4", "Positive end expiratory pressure setting Ventilator"),
		models.ConceptMapEquivalenceRelatedto, "a PEEP of a ventilator, not CPAP: the site decides"}},
	Findings["stage-1"].Code:     {pressureUlcer},
	Findings["stage-2"].Code:     {pressureUlcer},
	Findings["stage-3"].Code:     {pressureUlcer},
	Findings["stage-4"].Code:     {pressureUlcer},
	Findings["unstageable"].Code: {pressureUlcer},
	Findings["deep"].Code:        {pressureUlcer},
	Findings["blanching"].Code:   {{snomed("247441003"), models.ConceptMapEquivalenceWider, "erythema, whether it blanches or not"}},
	Alsos["blister"].Code:        {{snomed("417237009"), models.ConceptMapEquivalenceEquivalent, ""}},
}

var pressureUlcer = Near{snomed("399912005"), models.ConceptMapEquivalenceWider, "a pressure ulcer, without the stage"}

// Near is how a published code stands to an own one, with the reason where the two
// do not mean the same.
type Near struct {
	Standard
	How models.ConceptMapEquivalence
	Why string
}
