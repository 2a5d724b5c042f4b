package r4

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
