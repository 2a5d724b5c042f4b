package entry

// Words that several kinds share.
var (
	// Sites are the skin sites, in the record's order.
	Sites = []string{"septum", "columella", "naris-left", "naris-right", "bridge", "philtrum",
		"cheek-left", "cheek-right", "forehead", "ear-left", "ear-right", "occiput"}
	// Findings are in an order that is for sorting only: numbers do not imply progression.
	Findings = []string{"intact", "blanching", "stage-1", "stage-2", "mucosal", "stage-3", "stage-4", "unstageable", "deep"}
	// InterfaceTypes are what may be on the face.
	InterfaceTypes = []string{"mask", "prongs", "cannula", "off"}
	// Cares are the cares of every unit, in the order they are listed; a unit's own follow them.
	Cares = []string{"nasal-suction", "oral-suction", "mouth-care", "position", "skin-to-skin", "barrier", "chin-strap", "parents"}
	// Signs are what an episode shows.
	Signs = []string{"apnoea", "bradycardia", "desaturation"}
	// Recoveries are how an episode ended.
	Recoveries = []string{"by-itself", "touched", "oxygen-raised", "bagged", "not-yet"}
	// Modes are the modes of support.
	Modes = []string{"cpap", "bilevel", "ventilation", "high-flow", "low-flow"}
	// DueWords are everything that can be due.
	DueWords = []string{"rotation", "skin", "bonnet", "head", "observations", "tube", "circuit", "oxygen-sensor", "water", "humidifier",
		"safety", "care", "task"}
	// planWords are what a plan may give an interval of its own.
	planWords = []string{"rotation", "skin", "observations", "head", "tube", "circuit", "oxygen-sensor", "humidifier", "safety", "care"}
	sexes     = []string{"female", "male", "other", "unknown"}
)

const (
	line = 200  // characters of a short text
	para = 1000 // of a longer one
)

// The fields that every entry has, in the order of the canonical text.
var Common = []Spec{
	{Name: "id", Label: "Entry", Type: Reference, Required: true, Help: "UUID, made where the entry is charted"},
	{Name: "infant", Label: "Infant", Type: Key, Help: "the record's own key, never the hospital number"},
	{Name: "kind", Label: "Kind", Type: Word, Required: true},
	{Name: "at", Label: "Happened", Type: Instant, Required: true},
	{Name: "charted", Label: "Charted", Type: Instant, Help: "left out: the moment it is taken"},
	{Name: "by", Label: "By", Type: Key, Required: true, Help: "staff key"},
}

// Kinds is the one description of every kind of entry. Ranges are limits of
// what can be charted, not of what is right for an infant.
var Kinds = []Kind{
	{Name: "admission", Label: "Admission", Help: "starts a stay", OneOf: []string{"mrn", "temporary"}, Fields: []Spec{
		{Name: "born", Label: "Born", Type: Birth, Required: true},
		{Name: "cot", Label: "Cot", Type: Text, Identifies: true, Longest: 64, Required: true},
		{Name: "mrn", Label: "Hospital number", Type: Text, Identifies: true, Longest: 64, Private: true},
		{Name: "temporary", Label: "Temporary label", Type: Text, Identifies: true, Longest: line, Private: true,
			Help: "the unit's own label until there is a number"},
		{Name: "family", Label: "Family name", Type: Text, Longest: line, Private: true},
		{Name: "given", Label: "Given name", Type: Text, Longest: line, Private: true},
		{Name: "sex", Label: "Sex", Type: Word, Words: sexes},
		{Name: "gestation", Label: "Gestation at birth", Type: Gestation, Unit: "weeks+days"},
		{Name: "birthWeightG", Label: "Birth weight", Type: Number, Unit: "g", Min: "200", Max: "10000"},
		{Name: "birthOrder", Label: "Birth order", Type: Whole, Min: "1", Max: "10"},
		{Name: "multiples", Label: "Infants in this birth", Type: Whole, Min: "1", Max: "10"},
		{Name: "mother", Label: "Mother's key", Type: Text, Identifies: true, Longest: 64, Private: true,
			Help: "opaque; siblings share it"},
		{Name: "visit", Label: "Visit number", Type: Text, Identifies: true, Longest: 64, Private: true,
			Help: "the hospital's number of the stay"},
		{Name: "from", Label: "From", Type: Text, Longest: line},
	}},
	{Name: "identity", Label: "Identity", Help: "becomes known or changes",
		AnyOf: []string{"mrn", "temporary", "family", "given", "sex", "gestation", "visit", "mother", "restricted"}, Fields: []Spec{
			{Name: "mrn", Label: "Hospital number", Type: Text, Identifies: true, Longest: 64, Private: true},
			{Name: "temporary", Label: "Temporary label", Type: Text, Identifies: true, Longest: line, Private: true},
			{Name: "family", Label: "Family name", Type: Text, Longest: line, Private: true},
			{Name: "given", Label: "Given name", Type: Text, Longest: line, Private: true},
			{Name: "sex", Label: "Sex", Type: Word, Words: sexes},
			{Name: "gestation", Label: "Gestation at birth", Type: Gestation, Unit: "weeks+days"},
			{Name: "visit", Label: "Visit number", Type: Text, Identifies: true, Longest: 64, Private: true},
			{Name: "mother", Label: "Mother's key", Type: Text, Identifies: true, Longest: 64, Private: true},
			{Name: "restricted", Label: "Name not shown", Type: Flag},
		}},
	{Name: "move", Label: "Move", Fields: []Spec{
		{Name: "cot", Label: "Cot", Type: Text, Identifies: true, Longest: 64, Required: true},
	}},
	{Name: "discharge", Label: "Discharge", Help: "ends the stay", Fields: []Spec{
		{Name: "to", Label: "To", Type: Word, Words: []string{"home", "ward", "unit", "hospital", "died"}, Required: true},
		{Name: "place", Label: "Place", Type: Text, Longest: line},
	}},
	{Name: "support", Label: "Support", Help: "non-invasive breathing support starts, changes, stops", Fields: []Spec{
		{Name: "state", Label: "State", Type: Word, Words: []string{"started", "changed", "stopped"}, Required: true},
		{Name: "mode", Label: "Mode", Type: Word, Words: Modes, When: When{"state", []string{"started"}}},
		{Name: "driver", Label: "Driver", Type: Text, Identifies: true, Longest: 64, Help: "asset tag"},
		{Name: "why", Label: "Why on support", Type: Text, Longest: line, Private: true, Help: "when started or changed"},
		{Name: "reason", Label: "Reason for stopping", Type: Word, Words: []string{"weaned", "trial-off", "escalated", "procedure",
			"moved", "died", "other"}},
	}},
	{Name: "settings", Label: "Settings", Help: "what is set and prescribed; a field left out stays as it was",
		Less: [][2]string{{"spo2LowPercent", "spo2HighPercent"}}, Fields: []Spec{
			{Name: "pressureCmH2O", Label: "Set pressure", Type: Number, Unit: "cmH2O", Min: "0", Max: "20"},
			{Name: "upperPressureCmH2O", Label: "Set upper pressure", Type: Number, Unit: "cmH2O", Min: "0", Max: "40"},
			{Name: "rateMin", Label: "Set rate", Type: Number, Unit: "/min", Min: "0", Max: "120"},
			{Name: "inspiratoryS", Label: "Set inspiratory time", Type: Number, Unit: "s", Min: "0.1", Max: "3"},
			{Name: "fio2Percent", Label: "Set FiO2", Type: Number, Unit: "%", Min: "21", Max: "100"},
			{Name: "flowLMin", Label: "Set flow", Type: Number, Unit: "L/min", Min: "0", Max: "30"},
			{Name: "spo2LowPercent", Label: "SpO2 target, low", Type: Number, Unit: "%", Min: "1", Max: "100"},
			{Name: "spo2HighPercent", Label: "SpO2 target, high", Type: Number, Unit: "%", Min: "1", Max: "100"},
		}},
	{Name: "observations", Label: "Observations", Help: "what is seen", Fields: []Spec{
		{Name: "spo2Percent", Label: "SpO2", Type: Number, Unit: "%", Min: "0", Max: "100"},
		{Name: "spo2Site", Label: "SpO2 probe", Type: Word, Words: []string{"right-hand", "other-hand", "foot"}},
		{Name: "heartRateBpm", Label: "Heart rate", Type: Number, Unit: "/min", Min: "0", Max: "350"},
		{Name: "respRateBpm", Label: "Respiratory rate", Type: Number, Unit: "/min", Min: "0", Max: "250"},
		{Name: "axillaryC", Label: "Axillary temperature", Type: Number, Unit: "°C", Min: "20", Max: "45"},
		{Name: "pressureCmH2O", Label: "Pressure read", Type: Number, Unit: "cmH2O", Min: "0", Max: "40", Help: "at the infant"},
		{Name: "fio2Percent", Label: "Oxygen read", Type: Number, Unit: "%", Min: "10", Max: "110"},
		{Name: "airwayC", Label: "Airway temperature", Type: Number, Unit: "°C", Min: "20", Max: "45", Help: "gas at the airway"},
		{Name: "incubatorC", Label: "Incubator temperature", Type: Number, Unit: "°C", Min: "15", Max: "42"},
		{Name: "abdomenCm", Label: "Abdomen", Type: Number, Unit: "cm", Min: "10", Max: "60", Help: "girth"},
		{Name: "bubbling", Label: "Bubbling", Type: Flag, Help: "where the pressure comes from a water column"},
		{Name: "silverman", Label: "Silverman-Andersen", Type: Object, Of: []Spec{
			{Name: "chest", Label: "Upper chest", Type: Whole, Min: "0", Max: "2"},
			{Name: "intercostal", Label: "Intercostal retraction", Type: Whole, Min: "0", Max: "2"},
			{Name: "xiphoid", Label: "Xiphoid retraction", Type: Whole, Min: "0", Max: "2"},
			{Name: "nares", Label: "Nares dilatation", Type: Whole, Min: "0", Max: "2"},
			{Name: "grunt", Label: "Expiratory grunt", Type: Whole, Min: "0", Max: "2"},
		}},
	}},
	{Name: "gas", Label: "Blood gas", Help: "as read; nothing is computed from it",
		AnyOf:   []string{"ph", "pco2KPa", "pco2MmHg", "baseExcessMmolL", "bicarbonateMmolL", "lactateMmolL"},
		NotBoth: [2]string{"pco2KPa", "pco2MmHg"}, Fields: []Spec{
			{Name: "sample", Label: "Sample", Type: Word, Words: []string{"arterial", "capillary", "venous"}, Required: true},
			{Name: "ph", Label: "pH", Type: Number, Min: "6.5", Max: "8.0"},
			{Name: "pco2KPa", Label: "pCO2", Type: Number, Unit: "kPa", Min: "1", Max: "25"},
			{Name: "pco2MmHg", Label: "pCO2", Type: Number, Unit: "mmHg", Min: "8", Max: "190"},
			{Name: "baseExcessMmolL", Label: "Base excess", Type: Number, Unit: "mmol/L", Min: "-40", Max: "40"},
			{Name: "bicarbonateMmolL", Label: "Bicarbonate", Type: Number, Unit: "mmol/L", Min: "0", Max: "60"},
			{Name: "lactateMmolL", Label: "Lactate", Type: Number, Unit: "mmol/L", Min: "0", Max: "30"},
		}},
	{Name: "limits", Label: "Alarm limits", Help: "as set on monitor and driver; a field left out stays as it was",
		AnyOf: []string{"spo2LowPercent", "spo2HighPercent", "heartRateLowBpm", "heartRateHighBpm", "oxygenLowPercent",
			"oxygenHighPercent", "pressureLowCmH2O", "pressureHighCmH2O"},
		Less: [][2]string{{"spo2LowPercent", "spo2HighPercent"}, {"heartRateLowBpm", "heartRateHighBpm"},
			{"oxygenLowPercent", "oxygenHighPercent"}, {"pressureLowCmH2O", "pressureHighCmH2O"}}, Fields: []Spec{
			{Name: "spo2LowPercent", Label: "SpO2 alarm, low", Type: Number, Unit: "%", Min: "0", Max: "100"},
			{Name: "spo2HighPercent", Label: "SpO2 alarm, high", Type: Number, Unit: "%", Min: "0", Max: "100"},
			{Name: "heartRateLowBpm", Label: "Heart rate alarm, low", Type: Number, Unit: "/min", Min: "0", Max: "350"},
			{Name: "heartRateHighBpm", Label: "Heart rate alarm, high", Type: Number, Unit: "/min", Min: "0", Max: "350"},
			{Name: "oxygenLowPercent", Label: "Oxygen alarm, low", Type: Number, Unit: "%", Min: "0", Max: "110"},
			{Name: "oxygenHighPercent", Label: "Oxygen alarm, high", Type: Number, Unit: "%", Min: "0", Max: "110"},
			{Name: "pressureLowCmH2O", Label: "Pressure alarm, low", Type: Number, Unit: "cmH2O", Min: "0", Max: "60"},
			{Name: "pressureHighCmH2O", Label: "Pressure alarm, high", Type: Number, Unit: "cmH2O", Min: "0", Max: "60"},
		}},
	{Name: "episode", Label: "Episode", Fields: []Spec{
		{Name: "signs", Label: "Signs", Type: List, Item: Word, Words: Signs, Required: true},
		{Name: "seconds", Label: "Lasted", Type: Number, Unit: "s", Min: "0", Max: "86400"},
		{Name: "lowestSpo2Percent", Label: "Lowest SpO2", Type: Number, Unit: "%", Min: "0", Max: "100"},
		{Name: "lowestHeartRateBpm", Label: "Lowest heart rate", Type: Number, Unit: "/min", Min: "0", Max: "350"},
		{Name: "during", Label: "During", Type: Word, Words: []string{"feed", "handling", "suction", "rest", "other"}},
		{Name: "recovered", Label: "Recovered", Type: Word, Words: Recoveries, Required: true},
	}},
	{Name: "interface", Label: "Interface", Help: "what is on the face from then on", Fields: []Spec{
		{Name: "type", Label: "Type", Type: Word, Words: InterfaceTypes, Required: true},
		{Name: "size", Label: "Size", Type: Text, Longest: 64, List: "size"},
		{Name: "fit", Label: "Fit", Type: Word, Words: []string{"sealed", "leak", "tight", "loose"}},
		{Name: "clear", Label: "Septum clear", Type: Flag, Help: "the septum free of prongs or mask rim, as seen"},
		{Name: "reason", Label: "Reason", Type: Word, Words: []string{"first", "rotation", "resize", "soiled", "leak", "cares", "other"}},
	}},
	{Name: "setup", Label: "Set-up", Help: "the unit's own steps, ticked off", Fields: []Spec{
		{Name: "steps", Label: "Steps", Type: List, Required: true, Unique: "step", Of: []Spec{
			{Name: "step", Label: "Step", Type: Text, Longest: 64, Required: true, List: "step"},
			{Name: "done", Label: "Done", Type: Flag, Required: true},
		}},
		{Name: "around", Label: "Around the infant", Type: List, Item: Word,
			Words: []string{"incubator", "radiant-warmer", "phototherapy"}},
		{Name: "probeOutside", Label: "Temperature probe outside the incubator", Type: Flag},
		{Name: "probeShielded", Label: "Temperature probe shielded", Type: Flag},
	}},
	{Name: "calibration", Label: "Oxygen sensor check", Fields: []Spec{
		{Name: "points", Label: "Points", Type: List, Required: true, Of: []Spec{
			{Name: "gasPercent", Label: "Gas", Type: Number, Unit: "%", Min: "0", Max: "100", Required: true},
			{Name: "readPercent", Label: "Read", Type: Number, Unit: "%", Min: "10", Max: "110", Required: true},
		}},
		{Name: "flows", Label: "Flows", Type: List, Item: Number, Unit: "L/min", Min: "0", Max: "60"},
	}},
	{Name: "safety", Label: "Safety check", Help: "at the cot, by the unit's own list", Fields: []Spec{
		{Name: "items", Label: "Items", Type: List, Required: true, Unique: "item", Of: []Spec{
			{Name: "item", Label: "Item", Type: Text, Longest: 64, Required: true, List: "safety"},
			{Name: "ok", Label: "OK", Type: Flag, Required: true},
		}},
	}},
	{Name: "seal", Label: "Seal check", Help: "occlusion test before use, or a seal check", Fields: []Spec{
		{Name: "held", Label: "Held", Type: Flag, Required: true},
		{Name: "pressureCmH2O", Label: "Pressure held", Type: Number, Unit: "cmH2O", Min: "0", Max: "40"},
	}},
	{Name: "humidifier", Label: "Humidifier", Fields: []Spec{
		{Name: "state", Label: "State", Type: Word, Words: []string{"on", "warming", "ready", "off"}},
		{Name: "chamberC", Label: "Chamber", Type: Number, Unit: "°C", Min: "0", Max: "60"},
		{Name: "water", Label: "Water", Type: Word, Words: []string{"changed", "ok", "low"}},
		{Name: "waterMl", Label: "Water in the bag", Type: Number, Unit: "mL", Min: "0", Max: "10000", Help: "usable in the bag hung"},
	}},
	{Name: "circuit", Label: "Circuit", Help: "breathing circuit and chamber", Fields: []Spec{
		{Name: "action", Label: "Action", Type: Word, Words: []string{"fitted", "soiled", "faulty", "drained"}, Required: true},
	}},
	{Name: "alarm", Label: "Alarm", Help: "what was tried, in order, and what was found", Fields: []Spec{
		{Name: "about", Label: "About", Type: Word, Words: []string{"low-pressure", "high-pressure", "oxygen", "temperature", "gas-supply",
			"power", "other"}, Required: true},
		{Name: "tried", Label: "Tried", Type: List, Of: []Spec{
			{Name: "cause", Label: "Cause", Type: Text, Longest: line, Required: true},
			{Name: "found", Label: "Found", Type: Flag, Required: true},
		}},
		{Name: "action", Label: "Action", Type: Text, Longest: para},
		{Name: "settledAt", Label: "Settled", Type: Instant},
	}},
	{Name: "skin", Label: "Skin check", Help: "a site that is not listed was not seen", Fields: []Spec{
		{Name: "sites", Label: "Sites", Type: List, Required: true, Unique: "site", Of: []Spec{
			{Name: "site", Label: "Site", Type: Word, Words: Sites, Required: true},
			{Name: "finding", Label: "Finding", Type: Word, Words: Findings, Required: true},
			{Name: "also", Label: "Also", Type: List, Item: Word, Words: []string{"dry", "blister", "bleeding", "crust", "swelling",
				"bruise", "misshapen"}},
			{Name: "underBarrier", Label: "Under a barrier", Type: Flag},
			{Name: "action", Label: "Action", Type: Text, Longest: para},
			{Name: "note", Label: "Note", Type: Text, Longest: para, Lines: true, Private: true},
		}},
	}},
	{Name: "tube", Label: "Gastric tube", Fields: []Spec{
		{Name: "action", Label: "Action", Type: Word, Words: []string{"placed", "found", "checked", "repositioned", "removed", "none"},
			Required: true},
		{Name: "use", Label: "Use", Type: Word, Words: []string{"feeding", "venting"}, Help: "feeding where left out"},
		{Name: "route", Label: "Route", Type: Word, Words: []string{"oral", "nasal"}, When: When{"action", []string{"placed", "found"}}},
		{Name: "sizeFr", Label: "Size", Type: Number, Unit: "Fr", Min: "3", Max: "12"},
		{Name: "markCm", Label: "Mark at lip or nostril", Type: Number, Unit: "cm", Min: "3", Max: "40",
			When: When{"action", []string{"placed", "found", "repositioned"}}},
		{Name: "ph", Label: "pH", Type: Number, Min: "0", Max: "14"},
		{Name: "aspirate", Label: "Aspirate", Type: Word, Words: []string{"got", "none"}},
		{Name: "aspirateMl", Label: "Aspirate, amount", Type: Number, Unit: "mL", Min: "0", Max: "100"},
		{Name: "aspirateLook", Label: "Aspirate, look", Type: Text, Longest: line},
		{Name: "xray", Label: "Seen on X-ray", Type: Flag},
	}},
	{Name: "head", Label: "Head circumference", Fields: []Spec{
		{Name: "circumferenceCm", Label: "Head circumference", Type: Number, Unit: "cm", Min: "15", Max: "50", Required: true,
			Help: "occipitofrontal"},
		{Name: "unreliable", Label: "Unreliable", Type: Word, Words: []string{"swelling", "moulding", "ventricles", "other"}},
	}},
	{Name: "weight", Label: "Weight", Fields: []Spec{
		{Name: "weightG", Label: "Weight", Type: Number, Unit: "g", Min: "200", Max: "10000", Required: true},
	}},
	{Name: "bonnet", Label: "Bonnet", Fields: []Spec{
		{Name: "action", Label: "Action", Type: Word, Words: []string{"fitted", "found", "tight", "slack", "soiled", "removed", "none"},
			Required: true},
		{Name: "size", Label: "Size", Type: Text, Longest: 64, List: "bonnet", When: When{"action", []string{"fitted", "found"}}},
	}},
	{Name: "care", Label: "Care", Fields: []Spec{
		{Name: "what", Label: "What", Type: Word, Words: Cares, Longest: 64, List: "care", Required: true},
		{Name: "amount", Label: "Amount", Type: Word, Words: []string{"none", "little", "moderate", "much"}, Help: "of suction"},
		{Name: "look", Label: "Look", Type: Text, Longest: line, Help: "of suction"},
		{Name: "side", Label: "Side", Type: Word, Words: []string{"supine", "prone", "left", "right"}},
		{Name: "state", Label: "State", Type: Word, Words: []string{"on", "off", "renewed"}},
		{Name: "text", Label: "Text", Type: Text, Longest: para, Lines: true, Private: true},
	}},
	{Name: "note", Label: "Note", Ward: OfEither, Fields: []Spec{
		{Name: "text", Label: "Text", Type: Text, Longest: 4000, Lines: true, Private: true, Required: true},
		{Name: "readOut", Label: "Read out", Type: Flag},
	}},
	{Name: "told", Label: "Told", Help: "who was told, and what was said back", Fields: []Spec{
		{Name: "whom", Label: "Whom", Type: Text, Longest: line, Required: true, Private: true},
		{Name: "about", Label: "About", Type: Text, Longest: para, Lines: true, Required: true, Private: true},
		{Name: "answer", Label: "Answer", Type: Text, Longest: para, Lines: true, Private: true},
	}},
	{Name: "task", Label: "Task", Ward: OfEither, Fields: []Spec{
		{Name: "text", Label: "Text", Type: Text, Longest: para, Lines: true, Private: true, Required: true},
		{Name: "dueAt", Label: "Due", Type: Instant},
	}},
	{Name: "task-done", Label: "Task done", Ward: OfEither, Fields: []Spec{
		{Name: "task", Label: "Task", Type: Reference, Required: true},
	}},
	{Name: "plan", Label: "Plan", Help: "this infant's own interval, or none, by order", Fields: []Spec{
		{Name: "what", Label: "What", Type: Word, Words: planWords, Required: true},
		{Name: "care", Label: "Care", Type: Word, Words: Cares, Longest: 64, List: "care", When: When{"what", []string{"care"}}},
		{Name: "every", Label: "Every", Type: Interval, Required: true, Help: "a duration, none, or policy: the plan ends"},
		{Name: "until", Label: "Until", Type: Instant},
		{Name: "reason", Label: "Reason", Type: Text, Longest: para, Required: true, Private: true},
	}},
	{Name: "deferral", Label: "Deferral", Help: "listed as deferred before until, unless done meanwhile", Fields: []Spec{
		{Name: "what", Label: "What", Type: Word, Words: DueWords, Required: true},
		{Name: "care", Label: "Care", Type: Word, Words: Cares, Longest: 64, List: "care", When: When{"what", []string{"care"}}},
		{Name: "task", Label: "Task", Type: Reference, When: When{"what", []string{"task"}}},
		{Name: "until", Label: "Until", Type: Instant, Required: true},
		{Name: "reason", Label: "Reason", Type: Text, Longest: para, Required: true, Private: true},
	}},
	{Name: "outlook", Label: "Outlook", Help: "charted, never computed", Fields: []Spec{
		{Name: "severity", Label: "Severity", Type: Word, Words: []string{"stable", "watcher", "unstable"}},
		{Name: "ifThen", Label: "If - then", Type: List, Of: []Spec{
			{Name: "if", Label: "If", Type: Text, Longest: para, Required: true, Private: true},
			{Name: "then", Label: "Then", Type: Text, Longest: para, Required: true, Private: true},
		}},
		{Name: "callFor", Label: "Call for", Type: Text, Longest: para, Private: true},
	}},
	{Name: "handover", Label: "Handover", Help: "the outgoing nurse signs", Ward: OfUnit, Fields: []Spec{
		{Name: "to", Label: "To", Type: Key, Required: true},
		{Name: "asOf", Label: "As of", Type: Instant, Required: true},
		{Name: "infants", Label: "Infants", Type: List, Item: Key, Required: true},
		{Name: "cover", Label: "Cover for a break", Type: Flag},
	}},
	{Name: "acceptance", Label: "Acceptance", Help: "the incoming nurse takes over", Ward: OfUnit, Fields: []Spec{
		{Name: "handover", Label: "Handover", Type: Reference, Required: true},
		{Name: "infants", Label: "Infants", Type: List, Item: Key, Required: true},
		{Name: "confirmed", Label: "Confirmed", Type: PerInfant, Words: []string{"pressure", "fio2", "interface", "skin", "tube"}},
		{Name: "readBack", Label: "Read back", Type: Flag},
		{Name: "asked", Label: "Asked", Type: Text, Longest: para, Lines: true, Private: true},
	}},
	{Name: "correction", Label: "Correction", Ward: OfEither, Help: "the whole entry as it should have been", Fields: []Spec{
		{Name: "of", Label: "Of", Type: Reference, Required: true},
		{Name: "reason", Label: "Reason", Type: Text, Longest: para, Required: true, Private: true},
		{Name: "entry", Label: "Entry", Type: EntryType, Required: true},
	}},
	{Name: "retraction", Label: "Retraction", Ward: OfEither, Help: "counts for nothing, stays readable", Fields: []Spec{
		{Name: "of", Label: "Of", Type: Reference, Required: true},
		{Name: "reason", Label: "Reason", Type: Text, Longest: para, Required: true, Private: true},
		{Name: "movedTo", Label: "Moved to", Type: Reference},
	}},
}
