package r4

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
