package r4

import (
	"slices"
	"strings"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover/entry"
)

// This file and the other codes_*.go are the one place of every code: codes_gas.go has those
// of blood gases, codes_audit.go those of the trace, codes_unit.go makes those of the unit's
// own lists. A display stands here only where it was read exactly in a published source,
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

// OwnConcepts are all concepts with an own code, in the order of this file.
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

// Vital signs, by the R4 profile that their LOINC code calls: exactly this code
// first (hl7.org/fhir/R4/observation-vitalsigns.html). Displays: LOINC as read in
// US Core, in the ICU value sets 2026.0.0 of the German medical informatics
// initiative, and in HL7's vital signs guide; 9279-1, 8310-5, 9843-4 were not read.
var (
	SpO2 = Concept{Text: "SpO2", Standard: []Standard{
		loinc("2708-6", "Oxygen saturation in Arterial blood"),
		loinc("59408-5", "Oxygen saturation in Arterial blood by Pulse oximetry")}}
	Preductal   = loinc("59407-7", "Oxygen saturation in Blood Preductal by Pulse oximetry")
	Postductal  = loinc("59418-4", "")
	HeartRate   = Concept{Text: "Heart rate", Standard: []Standard{loinc("8867-4", "Heart rate")}}
	RespRate    = Concept{Text: "Respiratory rate", Standard: []Standard{loinc("9279-1", "")}}
	Temperature = Concept{Text: "Axillary temperature", Standard: []Standard{loinc("8310-5", ""), loinc("8328-7", "Axillary temperature")}}
	Weight      = Concept{Text: "Weight", Standard: []Standard{loinc("29463-7", "Body weight")}}
	Head        = Concept{Text: "Head circumference", Standard: []Standard{loinc("9843-4", "")}}
)

// VitalUnits are the units of the R4 vital-sign profiles by the LOINC code that
// calls them (hl7.org/fhir/R4/observation-vitalsigns.html).
var VitalUnits = map[string][]string{
	"2708-6": {"%"}, "59408-5": nil, "8867-4": {"/min"}, "9279-1": {"/min"},
	"8310-5": {"Cel", "[degF]"}, "8328-7": nil, "29463-7": {"g", "kg", "[lb_av]"}, "9843-4": {"cm", "[in_i]"}, "8287-5": nil,
}

// The infant. 76516-4: LOINC 2.82; components of 8339-4 and 57722-1 as in a public
// extract of the LOINC table.
var (
	BirthWeight = own("birth-weight", "Birth weight", "Weight at birth, in grams.", loinc("8339-4", ""))
	Gestation   = own("gestation", "Gestation at birth",
		"Gestational age at birth in days; in completed weeks where the days are not known.",
		loinc("76516-4", "Gestational age--at birth"))
	Plurality = own("birth-plurality", "Infants in this birth", "How many infants were born in this birth.", loinc("57722-1", ""))
)

// Support: what is set, and apart from it what is read. 19994-3: HL7 SANER 1.0.0,
// display changed between releases; 76272-4, 20124-4: LOINC 2.82; 3150-0: US Core;
// 35410-0: component only. No published numeric code for a set CPAP pressure was
// found; 20077-4 is a PEEP setting, which a site may add.
var (
	PressureSet = own("cpap-pressure-set", "Set pressure", "Pressure that is set on the driver: CPAP, or the lower one of two; cmH2O.")
	UpperSet    = own("upper-pressure-set", "Set upper pressure",
		"Upper pressure that is set, in bilevel support or nasal ventilation; cmH2O.")
	RateSet        = own("rate-set", "Set rate", "Rate that is set, in bilevel support or nasal ventilation; per minute.")
	InspiratorySet = own("inspiratory-time-set", "Set inspiratory time", "Time at the upper pressure that is set; seconds.")
	FiO2Set        = own("fio2-set", "Set FiO2", "Fraction of inspired oxygen that is set; percent, 21 to 100.", loinc("19994-3", ""))
	FlowSet        = own("flow-set", "Set flow", "Flow of blended gas that is set; L/min.",
		loinc("76272-4", "Bias flow setting Ventilator"))
	TargetLow    = own("spo2-target-low", "SpO2 target, low", "Lower bound of the SpO2 that was prescribed; percent.")
	TargetHigh   = own("spo2-target-high", "SpO2 target, high", "Upper bound of the SpO2 that was prescribed; percent.")
	PressureRead = own("pressure-read", "Pressure read", "Airway pressure read at the infant; cmH2O.", loinc("35410-0", ""))
	FiO2Read     = own("fio2-read", "Oxygen read", "Oxygen read by the sensor; percent.", loinc("3150-0", "Inhaled oxygen concentration"))

	Support     = own("support", "Support", "Non-invasive breathing support started, changed or stopped.")
	SupportMode = own("support-mode", "Mode of support", "The mode that support is in from then on.",
		loinc("20124-4", "Ventilation mode Ventilator"))
	SupportReason = own("support-stop-reason", "Reason for stopping", "Why support was stopped.")
	SupportWhy    = own("support-why", "Why on support", "Why the infant is on support, in words.")
	DriverTag     = own("driver-tag", "Driver", "Asset tag of the driver in use.")

	InterfaceOn     = own("interface", "Interface", "What is on the infant's face from then on.")
	InterfaceSize   = own("size", "Size", "Size, by the unit's own name of it.")
	InterfaceReason = own("interface-reason", "Reason", "Why the interface was changed.")
	InterfaceFit    = own("interface-fit", "Fit", "How the interface sits, as seen.")
	InterfaceClear  = own("interface-septum-clear", "Septum clear", "Whether the septum is free of prongs or mask rim, as seen.")
	Rotation        = own("interface-rotation", "Rotation", "Change between mask and prongs within a spell of support.")

	RatioSF  = own("spo2-fio2-ratio", "SpO2/FiO2 ratio", "SpO2 in percent divided by the set FiO2 as a fraction.")
	Severity = shownAs(own("severity-score", "Severity score", "Set CPAP pressure in cmH2O times the set FiO2 as a fraction."),
		own("pressure-times-oxygen", "Set pressure times oxygen fraction",
			"Set CPAP pressure in cmH2O times the set FiO2 as a fraction: how much support is set, not how ill the infant is. "+
				"Severity-score, which goes along, means the same."))
	OSI = own("oxygen-saturation-index", "Oxygen saturation index",
		"Severity score times 100 divided by SpO2 in percent; set CPAP pressure stands in for mean airway pressure.")
	SetCPAP = Concept{Text: "from the set values; set CPAP pressure stands in for mean airway pressure"}
)

// Observed signs.
var (
	Silverman = own("silverman-andersen-total", "Silverman-Andersen score",
		"Sum of the five items, 0 to 10; no sum when an item was not charted.")
	SilvermanItems = []Concept{ // in the order of the kind's fields
		own("silverman-chest", "Upper chest", "Silverman-Andersen item, 0 to 2: movement of the upper chest."),
		own("silverman-intercostal", "Intercostal retraction", "Silverman-Andersen item, 0 to 2: lower chest, intercostal retraction."),
		own("silverman-xiphoid", "Xiphoid retraction", "Silverman-Andersen item, 0 to 2: xiphoid retraction."),
		own("silverman-nares", "Nares dilatation", "Silverman-Andersen item, 0 to 2: dilatation of the nares."),
		own("silverman-grunt", "Expiratory grunt", "Silverman-Andersen item, 0 to 2: expiratory grunt."),
	}
	SignsTogether = map[string]Concept{ // of one episode, in the order of the kind's words
		"apnoea bradycardia":  own("signs-apnoea-bradycardia", "apnoea and bradycardia", "An episode with apnoea and bradycardia."),
		"apnoea desaturation": own("signs-apnoea-desaturation", "apnoea and desaturation", "An episode with apnoea and desaturation."),
		"bradycardia desaturation": own("signs-bradycardia-desaturation", "bradycardia and desaturation",
			"An episode with bradycardia and desaturation."),
		"apnoea bradycardia desaturation": own("signs-apnoea-bradycardia-desaturation", "apnoea, bradycardia and desaturation",
			"An episode with apnoea, bradycardia and desaturation."),
	}
	Episode          = own("episode", "Episode", "Apnoea, bradycardia or desaturation, or several together.")
	EpisodeSign      = own("episode-sign", "Sign", "A sign that the episode showed.")
	EpisodeSeconds   = own("episode-duration", "Lasted", "How long the episode lasted; seconds.")
	EpisodeSpO2      = own("episode-lowest-spo2", "Lowest SpO2", "Lowest SpO2 of the episode; percent.")
	EpisodeHeart     = own("episode-lowest-heart-rate", "Lowest heart rate", "Lowest heart rate of the episode; per minute.")
	EpisodeDuring    = own("episode-during", "During", "What was going on when the episode began.")
	EpisodeRecovered = own("episode-recovered", "Recovered", "How the episode ended.")
)

// Around the infant. LOINC 2.82 names 60839-8 a temperature of the skin, not of an
// incubator's air, and gives 60955-2 the profile of a body temperature; of 33447-4 the
// component alone was read: none of them is sent.
var (
	AirwayTemp    = own("airway-temperature", "Airway temperature", "Temperature of the gas at the airway, read; degrees Celsius.")
	IncubatorTemp = own("incubator-temperature", "Incubator temperature", "Temperature of the incubator's air, read; degrees Celsius.")
	Abdomen       = own("abdominal-girth", "Abdomen", "Girth of the abdomen; cm.")
	Bubbling      = own("bubbling", "Bubbling", "Whether the water column bubbles that the pressure comes from.")
)

// Alarm limits as they are set, on monitor and driver.
var (
	LimitSpO2Low      = own("alarm-limit-spo2-low", "SpO2 alarm, low", "Lower limit of the SpO2 alarm; percent.")
	LimitSpO2High     = own("alarm-limit-spo2-high", "SpO2 alarm, high", "Upper limit of the SpO2 alarm; percent.")
	LimitHeartLow     = own("alarm-limit-heart-rate-low", "Heart rate alarm, low", "Lower limit of the heart rate alarm; per minute.")
	LimitHeartHigh    = own("alarm-limit-heart-rate-high", "Heart rate alarm, high", "Upper limit of the heart rate alarm; per minute.")
	LimitOxygenLow    = own("alarm-limit-oxygen-low", "Oxygen alarm, low", "Lower limit of the oxygen alarm; percent.")
	LimitOxygenHigh   = own("alarm-limit-oxygen-high", "Oxygen alarm, high", "Upper limit of the oxygen alarm; percent.")
	LimitPressureLow  = own("alarm-limit-pressure-low", "Pressure alarm, low", "Lower limit of the pressure alarm; cmH2O.")
	LimitPressureHigh = own("alarm-limit-pressure-high", "Pressure alarm, high", "Upper limit of the pressure alarm; cmH2O.")
)

// Checks of the equipment.
var (
	SetupDone    = own("setup", "Set-up", "Set-up of the support, by the unit's own steps.")
	SetupStep    = own("setup-step", "Step", "A step of the unit's own list: done or not done.")
	SetupAround  = own("setup-around", "Around the infant", "A source of heat or light around the infant.")
	ProbeOutside = own("probe-outside", "Temperature probe outside the incubator",
		"Whether the temperature probe lies outside the incubator.")
	ProbeShield = own("probe-shielded", "Temperature probe shielded", "Whether the temperature probe is shielded.")
	SensorCheck = own("o2-sensor-check", "Oxygen sensor check", "Check of the oxygen sensor against known gases.")
	SensorSound = own("o2-sensor-within-tolerance", "within tolerance",
		"Each gas that the unit's policy names was read within the unit's tolerance.")
	SensorUnsound = own("o2-sensor-out-of-tolerance", "out of tolerance",
		"A gas that the unit's policy names was read outside the unit's tolerance.")
	SensorMethod = own("o2-sensor-verdict-computed", "computed from the readings by the unit's tolerance",
		"The verdict was computed from the readings of this check, by the gases and the tolerance of the unit's policy.")
	SensorAir = own("o2-sensor-reading-21", "Read in 21 % oxygen",
		"What the sensor read in air: in a gas of 21 % oxygen, or within 1 of it as it was charted; percent.")
	SensorOxygen = own("o2-sensor-reading-100", "Read in 100 % oxygen",
		"What the sensor read in oxygen: in a gas of 100 % oxygen, or within 1 of it as it was charted; percent.")
	SensorRead   = own("o2-sensor-reading", "Oxygen sensor reading", "What the sensor read in a known gas; percent.")
	SensorGas    = own("o2-sensor-gas", "Gas", "Oxygen in the gas that the sensor was held in; percent.")
	SensorFlow   = own("o2-sensor-flow", "Flow", "Flow at which the sensor was checked; L/min.")
	LeakCheck    = own("circuit-leak-check", "Seal check", "Whether the circuit held pressure when occluded.")
	LeakPressure = own("circuit-leak-check-pressure", "Pressure held", "Pressure that was held; cmH2O.")
	Humidifier   = own("humidifier-state", "Humidifier", "State of the humidifier as charted.")
	ChamberTemp  = own("humidifier-chamber-temperature", "Humidifier chamber", "Temperature of the humidifier chamber; degrees Celsius.")
	Water        = own("humidifier-water", "Humidifier water", "State of the humidifier's water.")
	WaterVolume  = own("humidifier-water-volume", "Water in the bag", "Usable water in the bag that was hung; mL.")
	Circuit      = own("circuit", "Breathing circuit", "What was done to, or found of, the breathing circuit and chamber.")
	Alarm        = own("alarm-event", "Alarm", "An alarm of the support: what was tried, in order, and what was found.")
	AlarmCause   = own("alarm-cause", "Cause looked for", "A cause that was looked for: found or not found.")
	AlarmAction  = own("alarm-action", "Action", "What was done about the alarm.")
	SafetyCheck  = own("safety-check", "Safety check", "Safety check at the cot, by the unit's own list.")
	SafetyItem   = own("safety-item", "Item", "An item of the unit's own list: in order or not.")
)

// Skin, tube, head, cares, words. 91150-3: LOINC 2.82; mucosal injuries are not
// staged.
var (
	SkinRound = own("skin-check-round", "Skin check",
		"A pressure-area check: its sites are its members. A site that is no member was not seen.")
	SkinSite  = own("skin-site-check", "Skin site", "Finding at one site of a pressure-area check.")
	SkinStage = own("skin-stage", "Pressure injury stage", "Stage of a pressure injury.",
		loinc("91150-3", "Pressure injury stage NPUAP"))
	SkinAlso    = own("skin-also", "Also", "What was found besides at the site.")
	SkinBarrier = own("skin-under-barrier", "Under a barrier", "Whether the site lies under a barrier dressing.")
	SkinSide    = own("skin-site-side", "Side", "Side of the body that the site lies on.")
	BodySides   = map[string]Concept{ // by how the word of a site ends
		"-left":  own("body-side-left", "left", "The left side of the body.", snomed("7771000")),
		"-right": own("body-side-right", "right", "The right side of the body.", snomed("24028007")),
	}
	SkinAction = own("skin-action", "Action", "What was done about the site.")

	Tube = own("gastric-tube", "Gastric tube",
		"A gastric tube placed, found in place, checked, repositioned, removed, or none found.")
	TubeUse      = own("gastric-tube-use", "Use", "What the tube is for.")
	TubeRoute    = own("gastric-tube-route", "Route", "Way in of the tube.")
	TubeXray     = own("gastric-tube-x-ray", "Seen on X-ray", "Whether the tube was seen on X-ray.")
	TubeMark     = own("gastric-tube-insertion-length", "Mark at lip or nostril", "Mark on the tube at the lip or nostril; cm.")
	TubePH       = own("gastric-aspirate-ph", "Gastric aspirate pH", "pH of the gastric aspirate.")
	TubeAspirate = own("gastric-aspirate", "Gastric aspirate", "Whether aspirate was got from the tube.")
	AspirateMl   = own("gastric-aspirate-volume", "Gastric aspirate, amount", "How much was aspirated from the tube; mL.")
	AspirateLook = own("gastric-aspirate-look", "Gastric aspirate, look", "What the aspirate looks like, in words.")

	Unreliable = own("head-circumference-unreliable", "Head circumference unreliable",
		"Why a head circumference does not show growth of the head.")
	Bonnet = own("bonnet", "Bonnet", "Bonnet fitted, found on, found wanting, removed, or none found.")

	Care      = own("care", "Care", "A care that was given.")
	CareSide  = own("care-side", "Side", "Side that the infant lies on.")
	CareState = own("care-state", "State", "Whether it was put on, taken off or renewed.")

	CareOfUnit = own("care-of-unit", "Care of the unit's own list", "A care of the unit's own list: the text names it.")
	CareAmount = own("care-amount", "Amount", "How much suction brought.")
	CareLook   = own("care-look", "Look", "What suction brought looks like, in words.")
	WasTold    = own("told", "Told", "Somebody was told something: what, whom, and what was said back.")
	ToldWhom   = own("told-whom", "Whom", "Who was told.")
	ToldAnswer = own("told-answer", "Answer", "What was said back.")

	Note    = own("note", "Note", "A nurse's note.")
	ReadOut = own("note-read-out", "Read out", "Whether the note is to be read out at handover.")
	Outlook = own("outlook", "Outlook", "How the infant is seen at handover; charted by a person, never computed.")
	IfThen  = own("outlook-if-then", "If - then", "What to do if something happens; the text says if what.")
	CallFor = own("outlook-call-for", "Call for", "What to call for.")
)

// The handover as a document, and what is computed for it. 61143-4 and the section
// codes: LOINC lists of R4, the display of 61143-4 as in LOINC 2.82; no published
// code of a shift handover was found.
var (
	NurseSummary = Concept{Code: ShiftHandover.Code, Display: ShiftHandover.Display, Text: ShiftHandover.Text,
		Standard: []Standard{loinc("61143-4", "Nurse Summary note")}}

	ShiftHandover = own("shift-handover", "Handover between shifts", "A nurse's handover of one infant, compiled from the record.")
	SectionFirst  = own("section-first", "Look first",
		"What needs a person, and what is to be known: in the order and the words of every face.")
	SectionChanges = own("section-changes", "Changes", "What changed since the window began.")
	SectionDue     = own("section-due", "Due and planned", "What is due, overdue or deferred; plans and tasks.", loinc("18776-5", ""))
	SectionSupport = own("section-support", "Support and settings", "Support, what is set, and the window's figures.")
	SectionSigns   = own("section-signs", "Observations", "What was seen.", loinc("8716-3", ""))
	SectionDevices = own("section-devices", "Devices", "Interface, tubes, bonnet, circuit, humidifier, checks and alarms.",
		loinc("46264-8", ""))
	SectionSkin    = own("section-skin", "Skin", "Pressure-area checks.", loinc("29545-1", ""))
	SectionGrowth  = own("section-growth", "Age and growth", "Age, weight and head.")
	SectionWords   = own("section-words", "Cares and words", "Cares, notes and outlook.")
	SectionMind    = own("section-mind", "Mind", "Gaps, look-alikes, conflicts and remarks.")
	SectionAmended = own("section-corrections", "Corrections", "What was corrected, by whom and why.")
	SectionEntries = own("section-entries", "Further entries",
		"Entries of the record that no other resource comes of: carried so that it can be read back.")
	NothingToTell  = "Nothing to tell."
	ComputedByTool = Concept{Text: "computed from the record"}
	DocumentTitle  = "Handover between shifts"
	SoftwareDevice = own("device-software", "Handover software", "The program that compiled the handover.")
	FiO2Lowest     = own("fio2-minimum", "Lowest set FiO2", "Lowest set FiO2 in force in the window; percent.")
	FiO2Highest    = own("fio2-maximum", "Highest set FiO2", "Highest set FiO2 in force in the window; percent.")
	FiO2Mean       = own("fio2-mean", "Mean set FiO2", "Mean of the set FiO2 over the window, weighted by time; percent.")
	FiO2Rises      = own("fio2-rises", "Rises of the set FiO2", "How often the set FiO2 was set higher in the window.")
	SpO2Counts     = own("spo2-count", "SpO2 observations", "Observations of SpO2 in the window, on support.")
	SpO2Below      = own("spo2-below-target", "Below target", "How many lay below the target then in force.")
	SpO2Within     = own("spo2-in-target", "In target", "How many lay in the target then in force.")
	SpO2Above      = own("spo2-above-target", "Above target", "How many lay above the target then in force.")
	SpO2NoTarget   = own("spo2-no-target", "No target", "For how many no target was in force.")
	EpisodesWindow = own("episodes-window", "Episodes in the window", "How many episodes were charted in the window.")
	EpisodesDay    = own("episodes-day", "Episodes in 24 hours", "How many episodes were charted in the 24 hours before.")
	HoursUnder     = own("hours-under-interface", "Hours under the interface",
		"Hours of the 24 before in which something lay on the site, on support.")
	Postmenstrual = own("postmenstrual-age", "Postmenstrual age",
		"Gestation at birth and the days since; completed weeks where the days are not known.")
	DayOfLife     = own("day-of-life", "Day of life", "Days since birth; the day of birth is 0.")
	WeightZ       = own("weight-z", "Weight, z-score", "Place of the weight on a growth standard.")
	WeightCentile = own("weight-centile", "Weight, centile", "Place of the weight on a growth standard.")
	HeadZ         = own("head-z", "Head circumference, z-score", "Place of the head circumference on a growth standard.")
	HeadCentile   = own("head-centile", "Head circumference, centile", "Place of the head circumference on a growth standard.")
	HeadGrowth    = own("head-growth", "Head growth", "Growth of the head circumference a week; cm.")
	TubeEstimate  = own("gastric-tube-length-estimate", "Estimated tube length",
		"Length by a published equation from the weight: a prompt, never an order; cm.")
	TubeMoved = own("gastric-tube-moved", "Tube moved", "Whether the mark differs from the reference by as much as policy names.")
)

// Why an entry says something else than it did. The charter's own words are the text.
var (
	WasCorrected = own("amendment-corrected", "An entry was corrected", "What an entry yields says what the entry should have said.")
	WasTakenBack = own("amendment-taken-back", "A correction was taken back",
		"A correction of an entry was taken back: what stood before it stands again.")
)

// CareEntry is what a Basic resource is.
var CareEntry = own("care-entry", "Care entry", "An entry of the record that yields no resource of another type; its text is carried.")

// Devices. 25062003: SNOMED CT Global Patient Set, feeding tube.
var (
	GastricTubeDevice = own("device-gastric-tube", "Gastric tube", "A gastric tube.", snomed("25062003"))
	BonnetDevice      = own("device-bonnet", "Bonnet", "A bonnet that the interface is held by.")
	CircuitDevice     = own("device-circuit", "Breathing circuit", "A breathing circuit with its humidifier chamber.")
	DriverDevice      = own("device-driver", "Driver", "The device that makes the pressure and flow.")
	FrenchSize        = own("french-size", "Size", "Outer size of a tube; French gauge.")
)

// What is to be done, and what to mind about an infant beside others.
var (
	TaskCharted = own("task", "Task", "A task that a person charted.")
	PlanCharted = own("plan", "Plan", "This infant's own interval for something, or none, by order.")
	FlagsAlike  = map[string]Concept{ // by why two infants could be mistaken
		"sibling": own("alike-sibling", "A sibling is on the unit",
			"Another infant on the unit is a sibling, or has the same family name and birth date."),
		"number": own("alike-number", "A similar hospital number is on the unit",
			"Another infant on the unit has a hospital number that differs in one place or one swap."),
		"name": own("alike-name", "A similar name is on the unit",
			"Another infant on the unit has a family name that is nearly the same."),
	}
	FlagsConflict = map[string]Concept{ // by what two infants cannot share
		"driver": own("conflict-driver", "The same driver is charted on another infant",
			"One driver stands on the current support of two infants."),
		"cot":    own("conflict-cot", "The same cot is charted on another infant", "Two infants are charted in one cot."),
		"number": own("conflict-number", "The same hospital number is charted on another infant", "Two infants have one hospital number."),
	}
)

// Body sites besides those of the skin.
var (
	SiteNose   = own("site-nose", "nose", "The nose.", snomed("113179006"))
	SiteMouth  = own("site-mouth", "mouth", "The mouth.")
	SiteHead   = own("site-head", "head", "The head.")
	SiteAxilla = own("site-axilla", "axilla", "The axilla.")
)

// Vocabulary is a field's words as codes of the own code system: group-word.
type Vocabulary map[string]Concept

// ValueSet is a vocabulary in the order of the table of kinds.
type ValueSet struct {
	Group, Title string
	Concepts     []Concept
}

// ValueSets are all vocabularies, in the order of this file.
var ValueSets []ValueSet

// words makes the codes of a field's words from the table of kinds, so that a
// word cannot be charted that has no code. Path names the field.
func words(group, title, kind, path string, further map[string][]Standard) Vocabulary {
	k, _ := entry.KindOf(kind)
	specs := k.Fields
	var list []string
	for _, name := range strings.Split(path, ".") {
		for i := range specs {
			if specs[i].Name == name {
				list, specs = specs[i].Words, specs[i].Of
				break
			}
		}
	}
	v, set := Vocabulary{}, ValueSet{Group: group, Title: title}
	for _, w := range list {
		said := strings.ReplaceAll(w, "-", " ")
		c := own(group+"-"+w, title+": "+said, title+" is charted as: "+said+".", further[w]...)
		c.Text = said
		v[w] = c
		set.Concepts = append(set.Concepts, c)
	}
	ValueSets = append(ValueSets, set)
	return v
}

// careOf is what is said of a care. One of the unit's own list has a code in the unit's
// lists.
func careOf(word string) Concept {
	if c, ok := Cares[word]; ok {
		return c
	}
	c := CareOfUnit
	c.Text = strings.ReplaceAll(word, "-", " ")
	return c
}

// The words. SNOMED CT beside a skin site is that of the skin there, or of the nose
// where the set has no finer one: of a naris that of the ala of the nose, with the nose
// after it as the coarser one. The set has no naris, and no side but of the ears: the
// side stands in the own code, and in a component.
var (
	ProbeSites     = words("spo2-site", "SpO2 probe", "observations", "spo2Site", nil)
	SupportStates  = words("support", "Support", "support", "state", nil)
	SupportModes   = words("mode", "Mode", "support", "mode", nil)
	SupportReasons = words("stop-reason", "Reason for stopping", "support", "reason", nil)
	Signs          = words("sign", "Sign", "episode", "signs", nil)
	Durings        = words("during", "During", "episode", "during", nil)
	Recoveries     = words("recovered", "Recovered", "episode", "recovered", nil)
	Interfaces     = words("interface", "Interface", "interface", "type", nil)
	Reasons        = words("reason", "Reason", "interface", "reason", nil)
	Arounds        = words("around", "Around the infant", "setup", "around", nil)
	Humidifiers    = words("humidifier", "Humidifier", "humidifier", "state", nil)
	Waters         = words("water", "Water", "humidifier", "water", nil)
	Circuits       = words("circuit", "Breathing circuit", "circuit", "action", nil)
	Abouts         = words("alarm", "Alarm", "alarm", "about", nil)
	Sites          = words("site", "Skin site", "skin", "sites.site", map[string][]Standard{
		"septum":      {snomed("113179006")},
		"columella":   {snomed("113179006")},
		"naris-left":  {snomed("68598004"), snomed("113179006")},
		"naris-right": {snomed("68598004"), snomed("113179006")},
		"bridge":      {snomed("113179006")},
		"philtrum":    {snomed("84365009")},
		"cheek-left":  {snomed("36141000")},
		"cheek-right": {snomed("36141000")},
		"forehead":    {snomed("68698007")},
		"ear-left":    {snomed("89644007")},
		"ear-right":   {snomed("25577004")},
		"occiput":     {snomed("700032006")},
	})
	Findings   = words("finding", "Finding", "skin", "sites.finding", nil)
	Alsos      = words("also", "Also", "skin", "sites.also", nil)
	Tubes      = words("tube", "Gastric tube", "tube", "action", nil)
	Uses       = words("tube-use", "Use", "tube", "use", nil)
	Routes     = words("tube-route", "Route", "tube", "route", nil)
	Aspirates  = words("aspirate", "Aspirate", "tube", "aspirate", nil)
	Causes     = words("unreliable", "Unreliable", "head", "unreliable", nil)
	Bonnets    = words("bonnet", "Bonnet", "bonnet", "action", nil)
	Cares      = words("care", "Care", "care", "what", nil)
	Sides      = words("side", "Side", "care", "side", nil)
	CareStates = words("care-state", "State", "care", "state", nil)
	Amounts    = words("amount", "Amount", "care", "amount", nil)
	Fits       = words("fit", "Fit", "interface", "fit", nil)
	Severities = words("outlook", "Outlook", "outlook", "severity", nil)
	Dues       = words("due", "Due", "deferral", "what", nil)
	Leavings   = words("discharge", "Discharge", "discharge", "to", nil)
	SealHeld   = own("seal-held", "held", "The circuit held pressure.")
	SealLost   = own("seal-not-held", "not held", "The circuit did not hold pressure.")
	Rotations  = map[string]Concept{ // by the type that came on
		"prongs": own("rotation-to-prongs", "mask to prongs", "Rotation from mask to prongs."),
		"mask":   own("rotation-to-mask", "prongs to mask", "Rotation from prongs to mask."),
	}
	Staged = map[string]bool{"stage-1": true, "stage-2": true, "stage-3": true, "stage-4": true, "unstageable": true, "deep": true}
)

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

// Unit is a unit of measure: how it is printed, and its UCUM code.
type Unit struct{ Text, UCUM string }

// The units: no other UCUM code leaves. Scores, ratios and indices are 1, with
// the word in the printed unit.
var (
	Percent      = Unit{"%", "%"}
	PerMinute    = Unit{"/min", "/min"}
	Celsius      = Unit{"°C", "Cel"}
	Grams        = Unit{"g", "g"}
	Centimetres  = Unit{"cm", "cm"}
	CmH2O        = Unit{"cmH2O", "cm[H2O]"}
	LitresMinute = Unit{"L/min", "L/min"}
	Millilitres  = Unit{"mL", "mL"}
	Kilopascals  = Unit{"kPa", "kPa"}
	MmHg         = Unit{"mmHg", "mm[Hg]"}
	MillimolesL  = Unit{"mmol/L", "mmol/L"}
	Seconds      = Unit{"s", "s"}
	French       = Unit{"Fr", "[Ch]"}
	PH           = Unit{"pH", "[pH]"}
	Hours        = Unit{"h", "h"}
	CmWeek       = Unit{"cm/week", "cm/wk"}
	Days         = Unit{"days", "d"}
	Weeks        = Unit{"weeks", "wk"}
	Score        = Unit{"score", "1"}
	Ratio        = Unit{"ratio", "1"}
	Index        = Unit{"index", "1"}
	ZScore       = Unit{"z-score", "1"}
	Centile      = Unit{"centile", "1"}
)

var units = []Unit{Percent, PerMinute, Celsius, Grams, Centimetres, CmH2O, LitresMinute, Millilitres, Kilopascals, MmHg, MillimolesL,
	Seconds, French, PH, Hours, CmWeek, Days, Weeks, Score, Ratio, Index, ZScore, Centile}

// IsUnit says whether a UCUM code is of a unit that is sent.
func IsUnit(code string) bool {
	return slices.ContainsFunc(units, func(u Unit) bool { return u.UCUM == code })
}

// Genders of R4 administrative-gender by the record's words.
var Genders = map[string]models.AdministrativeGender{
	"female": models.AdministrativeGenderFemale, "male": models.AdministrativeGenderMale,
	"other": models.AdministrativeGenderOther, "unknown": models.AdministrativeGenderUnknown,
}

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
