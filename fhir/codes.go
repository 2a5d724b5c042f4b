package fhir

import (
	"strings"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover/entry"
)

// This file is the one place of every code. A display stands here only where it
// was read exactly in a published source, named beside it; else the coding goes
// without one and our words go in the text. LOINC codes and names: copyright
// Regenstrief Institute, used under the LOINC licence (loinc.org/license). SNOMED
// CT codes: only those of the Global Patient Set (release 2020-09-30, CC BY 4.0,
// SNOMED International), read in the HL7 terminology repository; a site adds its
// own under its own licence.

// Code systems of HL7 and others.
const (
	loincSystem     = "http://loinc.org"
	snomedSystem    = "http://snomed.info/sct"
	ucumSystem      = "http://unitsofmeasure.org"
	categorySystem  = "http://terminology.hl7.org/CodeSystem/observation-category"
	absentSystem    = "http://terminology.hl7.org/CodeSystem/data-absent-reason"
	typeSystem      = "http://terminology.hl7.org/CodeSystem/v2-0203"
	operationSystem = "http://terminology.hl7.org/CodeSystem/v3-DataOperation"
	actCode         = "http://terminology.hl7.org/CodeSystem/v3-ActCode"
	flagSystem      = "http://terminology.hl7.org/CodeSystem/flag-category"
	placeSystem     = "http://terminology.hl7.org/CodeSystem/location-physical-type"
	actReason       = "http://terminology.hl7.org/CodeSystem/v3-ActReason"
	birthTimeURL    = "http://hl7.org/fhir/StructureDefinition/patient-birthTime"
	xhtml           = "http://www.w3.org/1999/xhtml"
	ownSystemPath   = "/CodeSystem/" + ownSystemID      // after fhir.base
	carryPath       = "/StructureDefinition/care-entry" // after fhir.base: the extension that carries an entry's text
	ownIDPath       = "/identifier"                     // after fhir.base: business identifiers of our own
)

// What the own code system says of itself. The version, of the package too, is raised
// with any change of content: the second figure where something was added, the first
// where something that was taken before no longer is.
const (
	ownSystemID      = "neonatal-cpap"
	ownSystemName    = "NeonatalCPAP"
	ownSystemTitle   = "Nasal CPAP in newborn infants: what nurses chart"
	ownSystemVersion = "1.4.0"
	ownSystemSays    = "Codes for what has no exact published code: settings, interfaces, skin sites and findings, gastric tubes, equipment checks. " + caution
	caution          = "An aid to handover, not a device, a monitor or an order: local policy, the prescriber and the manufacturer's instructions win; look at the infant."
	valueSetPath     = "/ValueSet/" // after fhir.base
)

// Statuses that are sent. R4 value sets of each resource type.
const (
	final     = "final"
	unsigned  = "preliminary" // of a Composition that nobody signed
	amended   = "amended"     // of what other entries made another, or of more than was signed
	corrected = "corrected"
	inError   = "entered-in-error"
	active    = "active"
	completed = "completed"
	requested = "requested"   // of a Task
	cancelled = "cancelled"   // of a Task
	inactive  = "inactive"    // of a Flag that is over, of a Device that is off
	ongoing   = "in-progress" // of an Encounter
	finished  = "finished"    // of an Encounter
)

// standard is a coding of a published system.
type standard struct{ system, code, display string }

func loinc(code, display string) standard { return standard{loincSystem, code, display} }
func snomed(code string) standard         { return standard{snomedSystem, code, ""} }

// concept is what something is said to be. Its own code, where it has one, is
// defined by meaning in the code system under fhir.base.
type concept struct {
	code     string // in the own code system; empty: the standard codings say it exactly
	display  string // of the own code
	text     string // in our words
	meaning  string
	standard []standard
}

// ownConcepts are all concepts with an own code, in the order of this file.
var ownConcepts []concept

func own(code, text, meaning string, further ...standard) concept {
	c := concept{code, text, text, meaning, further}
	ownConcepts = append(ownConcepts, c)
	return c
}

// Vital signs, by the R4 profile that their LOINC code calls: exactly this code
// first (hl7.org/fhir/R4/observation-vitalsigns.html). Displays: LOINC as read in
// US Core, in the ICU value sets 2026.0.0 of the German medical informatics
// initiative, and in HL7's vital signs guide; 9279-1, 8310-5, 9843-4 were not read.
var (
	spo2 = concept{text: "SpO2", standard: []standard{
		loinc("2708-6", "Oxygen saturation in Arterial blood"),
		loinc("59408-5", "Oxygen saturation in Arterial blood by Pulse oximetry")}}
	preductal   = loinc("59407-7", "Oxygen saturation in Blood Preductal by Pulse oximetry")
	postductal  = loinc("59418-4", "")
	heartRate   = concept{text: "Heart rate", standard: []standard{loinc("8867-4", "Heart rate")}}
	respRate    = concept{text: "Respiratory rate", standard: []standard{loinc("9279-1", "")}}
	temperature = concept{text: "Axillary temperature", standard: []standard{loinc("8310-5", ""), loinc("8328-7", "Axillary temperature")}}
	weight      = concept{text: "Weight", standard: []standard{loinc("29463-7", "Body weight")}}
	head        = concept{text: "Head circumference", standard: []standard{loinc("9843-4", "")}}
)

// The infant. 76516-4: LOINC 2.82; components of 8339-4 and 57722-1 as in a public
// extract of the LOINC table.
var (
	birthWeight = own("birth-weight", "Birth weight", "Weight at birth, in grams.", loinc("8339-4", ""))
	gestation   = own("gestation", "Gestation at birth", "Gestational age at birth in days; in completed weeks where the days are not known.", loinc("76516-4", "Gestational age--at birth"))
	plurality   = own("birth-plurality", "Infants in this birth", "How many infants were born in this birth.", loinc("57722-1", ""))
)

// Support: what is set, and apart from it what is read. 19994-3: HL7 SANER 1.0.0,
// display changed between releases; 76272-4, 20124-4: LOINC 2.82; 3150-0: US Core;
// 35410-0: component only. No published numeric code for a set CPAP pressure was
// found; 20077-4 is a PEEP setting, which a site may add.
var (
	pressureSet    = own("cpap-pressure-set", "Set pressure", "Pressure that is set on the driver: CPAP, or the lower one of two; cmH2O.")
	upperSet       = own("upper-pressure-set", "Set upper pressure", "Upper pressure that is set, in bilevel support or nasal ventilation; cmH2O.")
	rateSet        = own("rate-set", "Set rate", "Rate that is set, in bilevel support or nasal ventilation; per minute.")
	inspiratorySet = own("inspiratory-time-set", "Set inspiratory time", "Time at the upper pressure that is set; seconds.")
	fio2Set        = own("fio2-set", "Set FiO2", "Fraction of inspired oxygen that is set; percent, 21 to 100.", loinc("19994-3", ""))
	flowSet        = own("flow-set", "Set flow", "Flow of blended gas that is set; L/min.", loinc("76272-4", "Bias flow setting Ventilator"))
	targetLow      = own("spo2-target-low", "SpO2 target, low", "Lower bound of the SpO2 that was prescribed; percent.")
	targetHigh     = own("spo2-target-high", "SpO2 target, high", "Upper bound of the SpO2 that was prescribed; percent.")
	pressureRead   = own("pressure-read", "Pressure read", "Airway pressure read at the infant; cmH2O.", loinc("35410-0", ""))
	fio2Read       = own("fio2-read", "Oxygen read", "Oxygen read by the sensor; percent.", loinc("3150-0", "Inhaled oxygen concentration"))

	support       = own("support", "Support", "Non-invasive breathing support started, changed or stopped.")
	supportMode   = own("support-mode", "Mode of support", "The mode that support is in from then on.", loinc("20124-4", "Ventilation mode Ventilator"))
	supportReason = own("support-stop-reason", "Reason for stopping", "Why support was stopped.")
	driverTag     = own("driver-tag", "Driver", "Asset tag of the driver in use.")

	interfaceOn     = own("interface", "Interface", "What is on the infant's face from then on.")
	interfaceSize   = own("size", "Size", "Size, by the unit's own name of it.")
	interfaceReason = own("interface-reason", "Reason", "Why the interface was changed.")
	rotation        = own("interface-rotation", "Rotation", "Change between mask and prongs within a spell of support.")

	ratioSF  = own("spo2-fio2-ratio", "SpO2/FiO2 ratio", "SpO2 in percent divided by the set FiO2 as a fraction.")
	severity = own("severity-score", "Severity score", "Set CPAP pressure in cmH2O times the set FiO2 as a fraction.")
	osi      = own("oxygen-saturation-index", "Oxygen saturation index", "Severity score times 100 divided by SpO2 in percent; set CPAP pressure stands in for mean airway pressure.")
	setCPAP  = concept{text: "from the set values; set CPAP pressure stands in for mean airway pressure"}
)

// Observed signs.
var (
	silverman      = own("silverman-andersen-total", "Silverman-Andersen score", "Sum of the five items, 0 to 10; no sum when an item was not charted.")
	silvermanItems = []concept{ // in the order of the kind's fields
		own("silverman-chest", "Upper chest", "Silverman-Andersen item, 0 to 2: movement of the upper chest."),
		own("silverman-intercostal", "Intercostal retraction", "Silverman-Andersen item, 0 to 2: lower chest, intercostal retraction."),
		own("silverman-xiphoid", "Xiphoid retraction", "Silverman-Andersen item, 0 to 2: xiphoid retraction."),
		own("silverman-nares", "Nares dilatation", "Silverman-Andersen item, 0 to 2: dilatation of the nares."),
		own("silverman-grunt", "Expiratory grunt", "Silverman-Andersen item, 0 to 2: expiratory grunt."),
	}
	episode          = own("episode", "Episode", "Apnoea, bradycardia or desaturation, or several together.")
	episodeSign      = own("episode-sign", "Sign", "A sign that the episode showed.")
	episodeSeconds   = own("episode-duration", "Lasted", "How long the episode lasted; seconds.")
	episodeSpO2      = own("episode-lowest-spo2", "Lowest SpO2", "Lowest SpO2 of the episode; percent.")
	episodeHeart     = own("episode-lowest-heart-rate", "Lowest heart rate", "Lowest heart rate of the episode; per minute.")
	episodeDuring    = own("episode-during", "During", "What was going on when the episode began.")
	episodeRecovered = own("episode-recovered", "Recovered", "How the episode ended.")
)

// Checks of the equipment.
var (
	setupDone    = own("setup", "Set-up", "Set-up of the support, by the unit's own steps.")
	setupStep    = own("setup-step", "Step", "A step of the unit's own list: done or not done.")
	setupAround  = own("setup-around", "Around the infant", "A source of heat or light around the infant.")
	probeOutside = own("probe-outside", "Temperature probe outside the incubator", "Whether the temperature probe lies outside the incubator.")
	probeShield  = own("probe-shielded", "Temperature probe shielded", "Whether the temperature probe is shielded.")
	sensorCheck  = own("o2-sensor-check", "Oxygen sensor check", "Check of the oxygen sensor against known gases.")
	sensorRead   = own("o2-sensor-reading", "Oxygen sensor reading", "What the sensor read in a known gas; percent.")
	sensorGas    = own("o2-sensor-gas", "Gas", "Oxygen in the gas that the sensor was held in; percent.")
	sensorFlow   = own("o2-sensor-flow", "Flow", "Flow at which the sensor was checked; L/min.")
	leakCheck    = own("circuit-leak-check", "Seal check", "Whether the circuit held pressure when occluded.")
	leakPressure = own("circuit-leak-check-pressure", "Pressure held", "Pressure that was held; cmH2O.")
	humidifier   = own("humidifier-state", "Humidifier", "State of the humidifier as charted.")
	chamberTemp  = own("humidifier-chamber-temperature", "Humidifier chamber", "Temperature of the humidifier chamber; degrees Celsius.")
	water        = own("humidifier-water", "Humidifier water", "State of the humidifier's water.")
	waterVolume  = own("humidifier-water-volume", "Water in the bag", "Usable water in the bag that was hung; mL.")
	circuit      = own("circuit", "Breathing circuit", "What was done to, or found of, the breathing circuit and chamber.")
	alarm        = own("alarm-event", "Alarm", "An alarm of the support: what was tried, in order, and what was found.")
	alarmCause   = own("alarm-cause", "Cause looked for", "A cause that was looked for: found or not found.")
	alarmAction  = own("alarm-action", "Action", "What was done about the alarm.")
)

// Skin, tube, head, cares, words. 91150-3: LOINC 2.82; mucosal injuries are not
// staged.
var (
	skinRound   = own("skin-check-round", "Skin check", "A pressure-area check: its sites are its members. A site that is no member was not seen.")
	skinSite    = own("skin-site-check", "Skin site", "Finding at one site of a pressure-area check.")
	skinStage   = own("skin-stage", "Pressure injury stage", "Stage of a pressure injury.", loinc("91150-3", "Pressure injury stage NPUAP"))
	skinAlso    = own("skin-also", "Also", "What was found besides at the site.")
	skinBarrier = own("skin-under-barrier", "Under a barrier", "Whether the site lies under a barrier dressing.")
	skinAction  = own("skin-action", "Action", "What was done about the site.")

	tube      = own("gastric-tube", "Gastric tube", "A gastric tube placed, found in place, checked, repositioned, removed, or none found.")
	tubeUse   = own("gastric-tube-use", "Use", "What the tube is for.")
	tubeRoute = own("gastric-tube-route", "Route", "Way in of the tube.")
	tubeXray  = own("gastric-tube-x-ray", "Seen on X-ray", "Whether the tube was seen on X-ray.")
	tubeMark  = own("gastric-tube-insertion-length", "Mark at lip or nostril", "Mark on the tube at the lip or nostril; cm.")
	tubePH    = own("gastric-aspirate-ph", "Gastric aspirate pH", "pH of the gastric aspirate.")
	tubeAsp   = own("gastric-aspirate", "Gastric aspirate", "Whether aspirate was got from the tube.")

	unreliable = own("head-circumference-unreliable", "Head circumference unreliable", "Why a head circumference does not show growth of the head.")
	bonnet     = own("bonnet", "Bonnet", "Bonnet fitted, found on, found wanting, removed, or none found.")

	care      = own("care", "Care", "A care that was given.")
	careSide  = own("care-side", "Side", "Side that the infant lies on.")
	careState = own("care-state", "State", "Whether it was put on, taken off or renewed.")
	note      = own("note", "Note", "A nurse's note.")
	readOut   = own("note-read-out", "Read out", "Whether the note is to be read out at handover.")
	outlook   = own("outlook", "Outlook", "How the infant is seen at handover; charted by a person, never computed.")
	ifThen    = own("outlook-if-then", "If - then", "What to do if something happens; the text says if what.")
	callFor   = own("outlook-call-for", "Call for", "What to call for.")
)

// The handover as a document, and what is computed for it. 61143-4 and the section
// codes: LOINC lists of R4, the display of 61143-4 as in LOINC 2.82; no published
// code of a shift handover was found.
var (
	nurseSummary = concept{code: shiftHandover.code, display: shiftHandover.display, text: shiftHandover.text, standard: []standard{loinc("61143-4", "Nurse Summary note")}}

	shiftHandover  = own("shift-handover", "Handover between shifts", "A nurse's handover of one infant, compiled from the record.")
	sectionChanges = own("section-changes", "Changes", "What changed since the window began.")
	sectionDue     = own("section-due", "Due and planned", "What is due, overdue or deferred; plans and tasks.", loinc("18776-5", ""))
	sectionSupport = own("section-support", "Support and settings", "Support, what is set, and the window's figures.")
	sectionSigns   = own("section-signs", "Observations", "What was seen.", loinc("8716-3", ""))
	sectionDevices = own("section-devices", "Devices", "Interface, tubes, bonnet, circuit, humidifier, checks and alarms.", loinc("46264-8", ""))
	sectionSkin    = own("section-skin", "Skin", "Pressure-area checks.", loinc("29545-1", ""))
	sectionGrowth  = own("section-growth", "Age and growth", "Age, weight and head.")
	sectionWords   = own("section-words", "Cares and words", "Cares, notes and outlook.")
	sectionMind    = own("section-mind", "Mind", "Gaps, look-alikes, conflicts and remarks.")
	sectionAmended = own("section-corrections", "Corrections", "What was corrected, by whom and why.")
	sectionEntries = own("section-entries", "Further entries", "Entries of the record that no other resource comes of: carried so that it can be read back.")
	nothingToTell  = "Nothing to tell."
	computedByTool = concept{text: "computed from the record"}
	documentTitle  = "Handover between shifts"
	softwareDevice = own("device-software", "Handover software", "The program that compiled the handover.")
	fio2Lowest     = own("fio2-minimum", "Lowest set FiO2", "Lowest set FiO2 in force in the window; percent.")
	fio2Highest    = own("fio2-maximum", "Highest set FiO2", "Highest set FiO2 in force in the window; percent.")
	fio2Mean       = own("fio2-mean", "Mean set FiO2", "Mean of the set FiO2 over the window, weighted by time; percent.")
	fio2Rises      = own("fio2-rises", "Rises of the set FiO2", "How often the set FiO2 was set higher in the window.")
	spo2Counts     = own("spo2-count", "SpO2 observations", "Observations of SpO2 in the window, on support.")
	spo2Below      = own("spo2-below-target", "Below target", "How many lay below the target then in force.")
	spo2Within     = own("spo2-in-target", "In target", "How many lay in the target then in force.")
	spo2Above      = own("spo2-above-target", "Above target", "How many lay above the target then in force.")
	spo2NoTarget   = own("spo2-no-target", "No target", "For how many no target was in force.")
	episodesWindow = own("episodes-window", "Episodes in the window", "How many episodes were charted in the window.")
	episodesDay    = own("episodes-day", "Episodes in 24 hours", "How many episodes were charted in the 24 hours before.")
	hoursUnder     = own("hours-under-interface", "Hours under the interface", "Hours of the 24 before in which something lay on the site, on support.")
	postmenstrual  = own("postmenstrual-age", "Postmenstrual age", "Gestation at birth and the days since; completed weeks where the days are not known.")
	dayOfLife      = own("day-of-life", "Day of life", "Days since birth; the day of birth is 0.")
	weightZ        = own("weight-z", "Weight, z-score", "Place of the weight on a growth standard.")
	weightCentile  = own("weight-centile", "Weight, centile", "Place of the weight on a growth standard.")
	headZ          = own("head-z", "Head circumference, z-score", "Place of the head circumference on a growth standard.")
	headCentile    = own("head-centile", "Head circumference, centile", "Place of the head circumference on a growth standard.")
	headGrowth     = own("head-growth", "Head growth", "Growth of the head circumference a week; cm.")
	tubeEstimate   = own("gastric-tube-length-estimate", "Estimated tube length", "Length by a published equation from the weight: a prompt, never an order; cm.")
	tubeMoved      = own("gastric-tube-moved", "Tube moved", "Whether the mark differs from the reference by as much as policy names.")
)

// careEntry is what a Basic resource is.
var careEntry = own("care-entry", "Care entry", "An entry of the record that yields no resource of another type; its text is carried.")

// Devices. 25062003: SNOMED CT Global Patient Set, feeding tube.
var (
	gastricTubeDevice = own("device-gastric-tube", "Gastric tube", "A gastric tube.", snomed("25062003"))
	bonnetDevice      = own("device-bonnet", "Bonnet", "A bonnet that the interface is held by.")
	circuitDevice     = own("device-circuit", "Breathing circuit", "A breathing circuit with its humidifier chamber.")
	driverDevice      = own("device-driver", "Driver", "The device that makes the pressure and flow.")
	frenchSize        = own("french-size", "Size", "Outer size of a tube; French gauge.")
)

// What is to be done, and what to mind about an infant beside others.
var (
	taskCharted = own("task", "Task", "A task that a person charted.")
	planCharted = own("plan", "Plan", "This infant's own interval for something, or none, by order.")
	flagsAlike  = map[string]concept{ // by why two infants could be mistaken
		"sibling": own("alike-sibling", "A sibling is on the unit", "Another infant on the unit is a sibling, or has the same family name and birth date."),
		"number":  own("alike-number", "A similar hospital number is on the unit", "Another infant on the unit has a hospital number that differs in one place or one swap."),
		"name":    own("alike-name", "A similar name is on the unit", "Another infant on the unit has a family name that is nearly the same."),
	}
	flagsConflict = map[string]concept{ // by what two infants cannot share
		"driver": own("conflict-driver", "The same driver is charted on another infant", "One driver stands on the current support of two infants."),
		"cot":    own("conflict-cot", "The same cot is charted on another infant", "Two infants are charted in one cot."),
		"number": own("conflict-number", "The same hospital number is charted on another infant", "Two infants have one hospital number."),
	}
)

// Body sites besides those of the skin.
var (
	siteNose   = own("site-nose", "nose", "The nose.", snomed("113179006"))
	siteMouth  = own("site-mouth", "mouth", "The mouth.")
	siteHead   = own("site-head", "head", "The head.")
	siteAxilla = own("site-axilla", "axilla", "The axilla.")
)

// vocabulary is a field's words as codes of the own code system: group-word.
type vocabulary map[string]concept

// valueSet is a vocabulary in the order of the table of kinds.
type valueSet struct {
	group, title string
	concepts     []concept
}

// valueSets are all vocabularies, in the order of this file.
var valueSets []valueSet

// words makes the codes of a field's words from the table of kinds, so that a
// word cannot be charted that has no code. Path names the field.
func words(group, title, kind, path string, further map[string][]standard) vocabulary {
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
	v, set := vocabulary{}, valueSet{group: group, title: title}
	for _, w := range list {
		said := strings.ReplaceAll(w, "-", " ")
		c := own(group+"-"+w, title+": "+said, title+" is charted as: "+said+".", further[w]...)
		c.text = said
		v[w] = c
		set.concepts = append(set.concepts, c)
	}
	valueSets = append(valueSets, set)
	return v
}

// The words. SNOMED CT beside a skin site is that of the skin there, or of the
// nose where the set has no finer one.
var (
	probeSites     = words("spo2-site", "SpO2 probe", "observations", "spo2Site", nil)
	supportStates  = words("support", "Support", "support", "state", nil)
	supportModes   = words("mode", "Mode", "support", "mode", nil)
	supportReasons = words("stop-reason", "Reason for stopping", "support", "reason", nil)
	signs          = words("sign", "Sign", "episode", "signs", nil)
	durings        = words("during", "During", "episode", "during", nil)
	recoveries     = words("recovered", "Recovered", "episode", "recovered", nil)
	interfaces     = words("interface", "Interface", "interface", "type", nil)
	reasons        = words("reason", "Reason", "interface", "reason", nil)
	arounds        = words("around", "Around the infant", "setup", "around", nil)
	humidifiers    = words("humidifier", "Humidifier", "humidifier", "state", nil)
	waters         = words("water", "Water", "humidifier", "water", nil)
	circuits       = words("circuit", "Breathing circuit", "circuit", "action", nil)
	abouts         = words("alarm", "Alarm", "alarm", "about", nil)
	sites          = words("site", "Skin site", "skin", "sites.site", map[string][]standard{
		"septum":      {snomed("113179006")},
		"columella":   {snomed("113179006")},
		"naris-left":  {snomed("113179006")},
		"naris-right": {snomed("113179006")},
		"bridge":      {snomed("113179006")},
		"philtrum":    {snomed("84365009")},
		"cheek-left":  {snomed("36141000")},
		"cheek-right": {snomed("36141000")},
		"forehead":    {snomed("68698007")},
		"ear-left":    {snomed("89644007")},
		"ear-right":   {snomed("25577004")},
		"occiput":     {snomed("700032006")},
	})
	findings   = words("finding", "Finding", "skin", "sites.finding", nil)
	alsos      = words("also", "Also", "skin", "sites.also", nil)
	tubes      = words("tube", "Gastric tube", "tube", "action", nil)
	uses       = words("tube-use", "Use", "tube", "use", nil)
	routes     = words("tube-route", "Route", "tube", "route", nil)
	aspirates  = words("aspirate", "Aspirate", "tube", "aspirate", nil)
	causes     = words("unreliable", "Unreliable", "head", "unreliable", nil)
	bonnets    = words("bonnet", "Bonnet", "bonnet", "action", nil)
	cares      = words("care", "Care", "care", "what", nil)
	sides      = words("side", "Side", "care", "side", nil)
	careStates = words("care-state", "State", "care", "state", nil)
	severities = words("outlook", "Outlook", "outlook", "severity", nil)
	dues       = words("due", "Due", "deferral", "what", nil)
	leavings   = words("discharge", "Discharge", "discharge", "to", nil)
	sealHeld   = own("seal-held", "held", "The circuit held pressure.")
	sealLost   = own("seal-not-held", "not held", "The circuit did not hold pressure.")
	rotations  = map[string]concept{ // by the type that came on
		"prongs": own("rotation-to-prongs", "mask to prongs", "Rotation from mask to prongs."),
		"mask":   own("rotation-to-mask", "prongs to mask", "Rotation from prongs to mask."),
	}
	staged = map[string]bool{"stage-1": true, "stage-2": true, "stage-3": true, "stage-4": true, "unstageable": true, "deep": true}
)

// Categories of R4 observation-category. Settings are therapy, never vital signs.
var (
	vitalSigns = concept{text: "Vital signs", standard: []standard{{categorySystem, "vital-signs", ""}}}
	therapy    = concept{text: "Therapy", standard: []standard{{categorySystem, "therapy", ""}}}
	exam       = concept{text: "Exam", standard: []standard{{categorySystem, "exam", ""}}}
	survey     = concept{text: "Survey", standard: []standard{{categorySystem, "survey", ""}}}
	procedure  = concept{text: "Procedure", standard: []standard{{categorySystem, "procedure", ""}}}

	laboratory = standard{categorySystem, "laboratory", ""} // read, never sent
)

// Absent, test data, identifiers, what was done to data, where. HTEST, MR, UPDATE
// and IMP: read by HL7's validator as codes of these systems; bd and safety: in the
// R4 definitions.
var (
	updated      = concept{text: "corrected", standard: []standard{{operationSystem, "UPDATE", ""}}}
	notCharted   = concept{text: "not charted", standard: []standard{{absentSystem, "unknown", ""}}}
	noAspirate   = concept{text: "no aspirate", standard: []standard{{absentSystem, "unknown", ""}}}
	inpatient    = standard{actCode, "IMP", ""}
	safety       = concept{text: "Safety", standard: []standard{{flagSystem, "safety", ""}}}
	bed          = concept{text: "Cot", standard: []standard{{placeSystem, "bd", ""}}}
	testData     = standard{actReason, "HTEST", ""}
	recordNumber = concept{text: "Hospital number", standard: []standard{{typeSystem, "MR", ""}}}
)

// unit is a unit of measure: how it is printed, and its UCUM code.
type unit struct{ text, ucum string }

// The units: no other UCUM code leaves. Scores, ratios and indices are 1, with
// the word in the printed unit.
var (
	percent   = unit{"%", "%"}
	perMinute = unit{"/min", "/min"}
	celsius   = unit{"°C", "Cel"}
	grams     = unit{"g", "g"}
	cm        = unit{"cm", "cm"}
	cmH2O     = unit{"cmH2O", "cm[H2O]"}
	litresMin = unit{"L/min", "L/min"}
	millilit  = unit{"mL", "mL"}
	secs      = unit{"s", "s"}
	french    = unit{"Fr", "[Ch]"}
	pH        = unit{"pH", "[pH]"}
	hours     = unit{"h", "h"}
	cmWeek    = unit{"cm/week", "cm/wk"}
	days      = unit{"days", "d"}
	weeks     = unit{"weeks", "wk"}
	score     = unit{"score", "1"}
	ratio     = unit{"ratio", "1"}
	index     = unit{"index", "1"}
	zScore    = unit{"z-score", "1"}
	centile   = unit{"centile", "1"}
)

var units = []unit{percent, perMinute, celsius, grams, cm, cmH2O, litresMin, millilit, secs, french, pH, hours, cmWeek, days, weeks, score, ratio, index, zScore, centile}

// genders of R4 administrative-gender by the record's words.
var genders = map[string]r4.AdministrativeGender{
	"female": r4.AdministrativeGenderFemale, "male": r4.AdministrativeGenderMale,
	"other": r4.AdministrativeGenderOther, "unknown": r4.AdministrativeGenderUnknown,
}

// nearby are published codes that are only near to an own one, for the concept map:
// they never go along in an export. 20077-4: HL7 SANER 1.0.0. SNOMED CT: Global
// Patient Set.
var nearby = map[string][]near{
	pressureSet.code:             {{loinc("20077-4", "Positive end expiratory pressure setting Ventilator"), r4.ConceptMapEquivalenceRelatedto, "a PEEP of a ventilator, not CPAP: the site decides"}},
	findings["stage-1"].code:     {pressureUlcer},
	findings["stage-2"].code:     {pressureUlcer},
	findings["stage-3"].code:     {pressureUlcer},
	findings["stage-4"].code:     {pressureUlcer},
	findings["unstageable"].code: {pressureUlcer},
	findings["deep"].code:        {pressureUlcer},
	findings["blanching"].code:   {{snomed("247441003"), r4.ConceptMapEquivalenceWider, "erythema, whether it blanches or not"}},
	alsos["blister"].code:        {{snomed("417237009"), r4.ConceptMapEquivalenceEquivalent, ""}},
}

var pressureUlcer = near{snomed("399912005"), r4.ConceptMapEquivalenceWider, "a pressure ulcer, without the stage"}
