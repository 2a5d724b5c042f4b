package r4

import models "github.com/samply/golang-fhir-models/fhir-models/fhir"

// The files codes*.go are the one place of every code. This one has what they are made of,
// and the codes that HL7 gives to what every resource holds:
//
//	codes_audit.go   events of the trace
//	codes_care.go    what is charted of an infant, support and equipment
//	codes_export.go  what an export says besides: the document, figures, devices, flags
//	codes_field.go   the words of fields, from the table of kinds
//	codes_gas.go     blood gases
//	codes_nearby.go  published codes that are only near to an own one
//	codes_ucum.go    units of measure
//	codes_unit.go    the unit's own lists
//
// The own code system lists its codes in the order in which they are declared, and Go takes
// files by their names (Go specification, package initialization): another name or another
// order of lines is another order for whoever loads the package.
//
// A display stands here only where it was read exactly in a published source,
// named beside it; else the coding goes without one and our words go in the text. LOINC codes and names: copyright
// Regenstrief Institute, used under the LOINC licence (loinc.org/license). SNOMED
// CT codes: only those of the Global Patient Set (release 2020-09-30, CC BY 4.0,
// SNOMED International), read in the HL7 terminology repository; a site adds its
// own under its own licence.

// Code systems of HL7 and others.
const (
	LOINCSystem     = "http://loinc.org"
	SNOMEDSystem    = "http://snomed.info/sct"
	UCUMSystem      = "http://unitsofmeasure.org"
	categorySystem  = "http://terminology.hl7.org/CodeSystem/observation-category"
	absentSystem    = "http://terminology.hl7.org/CodeSystem/data-absent-reason"
	typeSystem      = "http://terminology.hl7.org/CodeSystem/v2-0203"
	operationSystem = "http://terminology.hl7.org/CodeSystem/v3-DataOperation"
	actCode         = "http://terminology.hl7.org/CodeSystem/v3-ActCode"
	flagSystem      = "http://terminology.hl7.org/CodeSystem/flag-category"
	placeSystem     = "http://terminology.hl7.org/CodeSystem/location-physical-type"
	SpecimenSystem  = "http://terminology.hl7.org/CodeSystem/v2-0487"
	actReason       = "http://terminology.hl7.org/CodeSystem/v3-ActReason"
	BirthTimeURL    = "http://hl7.org/fhir/StructureDefinition/patient-birthTime"
	xhtml           = "http://www.w3.org/1999/xhtml"
	OwnSystemPath   = "/CodeSystem/" + OwnSystemID      // after fhir.base
	CarryPath       = "/StructureDefinition/care-entry" // after fhir.base: the extension that carries an entry's text
	OwnIDPath       = "/identifier"                     // after fhir.base: business identifiers of our own
)

// What the own code system says of itself. The version, of the package and of each
// definition in it too, is raised with any change of content, and the date with it: the
// second figure where something was added, the first where something that was taken
// before no longer is.
const (
	OwnSystemID      = "neonatal-cpap"
	OwnSystemName    = "NeonatalCPAP"
	OwnSystemTitle   = "Nasal CPAP in newborn infants: what nurses chart"
	OwnSystemVersion = "1.6.0"
	OwnSystemDate    = "2026-11-27"
	OwnSystemSays    = "Codes for what has no exact published code: settings, interfaces, skin sites and findings, gastric tubes, " +
		"equipment checks. " + Caution
	Caution = "An aid to handover, not a device, a monitor or an order: local policy, the prescriber and the manufacturer's " +
		"instructions win; look at the infant."
	ValueSetPath = "/ValueSet/" // after fhir.base
)

// Statuses that are sent. R4 value sets of each resource type.
const (
	Final     = "final"
	Unsigned  = "preliminary" // of a Composition that nobody signed
	Amended   = "amended"     // of what other entries made another, or of more than was signed
	Corrected = "corrected"
	InError   = "entered-in-error"
	Active    = "active"
	Completed = "completed"
	Requested = "requested"   // of a Task
	Cancelled = "cancelled"   // of a Task
	Inactive  = "inactive"    // of a Flag that is over, of a Device that is off
	Unsaid    = "unknown"     // of a Device that is the hospital's: a driver
	Ongoing   = "in-progress" // of an Encounter
	Finished  = "finished"    // of an Encounter
)

// Standard is a coding of a published system.
type Standard struct{ System, Code, Display string }

func loinc(code, display string) Standard { return Standard{LOINCSystem, code, display} }
func snomed(code string) Standard         { return Standard{SNOMEDSystem, code, ""} }

// Concept is what something is said to be. Its own code, where it has one, is
// defined by meaning in the code system under fhir.base.
type Concept struct {
	Code     string // in the own code system; empty: the standard codings say it exactly
	Display  string // of the own code
	Text     string // in our words
	Meaning  string
	Standard []Standard
	Also     *Concept // an own code that goes along after the first, and says it in better words
}

// OwnConcepts are all concepts with an own code, in the order in which they are declared.
var OwnConcepts []Concept

// shownAs is a concept that goes by the words of another own one, beside the first, whose
// code came to be known and stays, without its display: it is read as what it is not.
func shownAs(c, better Concept) Concept {
	c.Display, c.Text, c.Also = "", better.Text, &better
	return c
}

func own(code, text, meaning string, further ...Standard) Concept {
	c := Concept{Code: code, Display: text, Text: text, Meaning: meaning, Standard: further}
	OwnConcepts = append(OwnConcepts, c)
	return c
}

// Categories of R4 observation-category. Settings are therapy, never vital signs.
var (
	VitalSigns = Concept{Text: "Vital signs", Standard: []Standard{{categorySystem, "vital-signs", ""}}}
	Therapy    = Concept{Text: "Therapy", Standard: []Standard{{categorySystem, "therapy", ""}}}
	Exam       = Concept{Text: "Exam", Standard: []Standard{{categorySystem, "exam", ""}}}
	Survey     = Concept{Text: "Survey", Standard: []Standard{{categorySystem, "survey", ""}}}
	Procedure  = Concept{Text: "Procedure", Standard: []Standard{{categorySystem, "procedure", ""}}}

	Laboratory = Concept{Text: "Laboratory", Standard: []Standard{LaboratoryCode}} // of blood gases

	LaboratoryCode = Standard{categorySystem, "laboratory", ""}
)

// Absent, test data, identifiers, what was done to data, where. HTEST, MR, UPDATE
// and IMP: read by HL7's validator as codes of these systems; bd and safety: in the
// R4 definitions.
var (
	Updated      = Concept{Text: "corrected", Standard: []Standard{{operationSystem, "UPDATE", ""}}}
	NotCharted   = Concept{Text: "not charted", Standard: []Standard{{absentSystem, "unknown", ""}}}
	NoAspirate   = Concept{Text: "no aspirate", Standard: []Standard{{absentSystem, "unknown", ""}}}
	Inpatient    = Standard{actCode, "IMP", ""}
	Safety       = Concept{Text: "Safety", Standard: []Standard{{flagSystem, "safety", ""}}}
	Bed          = Concept{Text: "Cot", Standard: []Standard{{placeSystem, "bd", ""}}}
	TestData     = Standard{actReason, "HTEST", ""}
	RecordNumber = Concept{Text: "Hospital number", Standard: []Standard{{typeSystem, "MR", ""}}}
)

// Genders of R4 administrative-gender by the record's words.
var Genders = map[string]models.AdministrativeGender{
	"female": models.AdministrativeGenderFemale, "male": models.AdministrativeGenderMale,
	"other": models.AdministrativeGenderOther, "unknown": models.AdministrativeGenderUnknown,
}
