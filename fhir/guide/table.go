package guide

import (
	"cmp"
	"maps"
	"slices"
	"strconv"

	"cotline/fhir"
	"cotline/fhir/internal/r4"
)

// profileSets are the value sets that the profiles name, besides the vocabularies.
var profileSets = []r4.ValueSet{
	{Group: "set-values", Title: "what is set or prescribed", Concepts: []r4.Concept{r4.PressureSet, r4.UpperSet, r4.RateSet,
		r4.InspiratorySet, r4.FiO2Set, r4.FlowSet, r4.TargetLow, r4.TargetHigh}},
	{Group: "alarm-limits", Title: "alarm limits", Concepts: []r4.Concept{r4.LimitSpO2Low, r4.LimitSpO2High, r4.LimitHeartLow,
		r4.LimitHeartHigh, r4.LimitOxygenLow, r4.LimitOxygenHigh, r4.LimitPressureLow, r4.LimitPressureHigh}},
	{Group: "gas-values", Title: "values of a blood gas", Concepts: []r4.Concept{r4.GasPH, r4.GasPCO2, r4.GasBaseExcess,
		r4.GasBicarb, r4.GasLactate}},
	{Group: "indices", Title: "what is computed at a reading of SpO2", Concepts: []r4.Concept{r4.RatioSF, r4.Severity,
		*r4.Severity.Also, r4.OSI}},
	{Group: "figures", Title: "what is computed for a handover", Concepts: []r4.Concept{r4.FiO2Lowest, r4.FiO2Highest, r4.FiO2Mean,
		r4.FiO2Rises, r4.SpO2Counts, r4.EpisodesWindow, r4.EpisodesDay, r4.HoursUnder,
		r4.Postmenstrual, r4.DayOfLife, r4.WeightZ, r4.WeightCentile, r4.HeadZ, r4.HeadCentile, r4.HeadGrowth, r4.TubeEstimate,
		r4.TubeMoved}},
	{Group: "devices", Title: "devices", Concepts: []r4.Concept{r4.Interfaces["mask"], r4.Interfaces["prongs"], r4.Interfaces["cannula"],
		r4.GastricTubeDevice, r4.BonnetDevice, r4.CircuitDevice, r4.DriverDevice, r4.SoftwareDevice}},
	{Group: "episode-signs", Title: "what an episode showed", Concepts: slices.Concat(byCode(r4.Signs), byCode(r4.SignsTogether))},
	{Group: "sensor-verdicts", Title: "what a check of the oxygen sensor came to", Concepts: []r4.Concept{r4.SensorSound,
		r4.SensorUnsound}},
	{Group: "cares", Title: "cares", Concepts: append(byCode(r4.Cares), r4.CareOfUnit)},
	{Group: "amendments", Title: "why an entry says something else", Concepts: []r4.Concept{r4.WasCorrected, r4.WasTakenBack}},
	{Group: "rotations", Title: "rotation", Concepts: []r4.Concept{r4.Rotations["prongs"], r4.Rotations["mask"]}},
	{Group: "to-do", Title: "what is to be done", Concepts: slices.Concat([]r4.Concept{r4.TaskCharted, r4.PlanCharted}, byCode(r4.Dues),
		byCode(r4.Cares), []r4.Concept{r4.CareOfUnit})},
	{Group: "to-mind", Title: "what to mind about an infant beside others",
		Concepts: slices.Concat(byCode(r4.FlagsAlike), byCode(r4.FlagsConflict))},
}

func byCode(all map[string]r4.Concept) []r4.Concept {
	return slices.SortedFunc(maps.Values(all), func(a, b r4.Concept) int { return cmp.Compare(a.Code, b.Code) })
}

// profiles are one or more of each type that an export or a document holds, those of
// Observations last.
var profiles = slices.Concat(administrative, equipment, organising, documenting, observing)

var administrative = []profile{
	{id: "infant", title: "Infant", kind: "Patient",
		says: "An infant as far as the record knows it: for a receiver that holds no Patient of that hospital number. No address, " +
			"telephone or contact is sent.",
		rules: slices.Concat(
			[]rule{{path: "identifier", min: 1, max: "2"}, always("identifier.use"), always("identifier.system"),
				always("identifier.value"),
				{path: "name", max: "1"}},
			never("telecom"), []rule{{path: "gender", max: "1"}, always("birthDate")},
			never("deceased[x]", "address"), []rule{{path: "multipleBirth[x]", max: "1"}}, never("photo", "contact", "communication",
				"generalPractitioner"))},
	{id: "stay", title: "Stay", kind: "Encounter",
		says: "A stay of an infant on the unit, from admission to discharge, under the hospital's number of it once there is one, and " +
			"always under our own; the cots one after the other, where it went at the end.",
		rules: slices.Concat(
			identified("2", always("status"), rule{path: "class", min: 1, max: "1", bare: &r4.Inpatient}, to("subject", "Patient")),
			never("participant"), []rule{always("period"), always("period.start")}, never("diagnosis"),
			[]rule{{path: "hospitalization", max: "1"}, {path: "location", min: 1, max: "*"}, to("location.location", "Location"),
				always("location.status"), always("location.period")})},
	{id: "cot", title: "Cot", kind: "Location",
		says: "A cot of the unit by the unit's name of it.",
		rules: slices.Concat(
			identified("1", rule{path: "status", min: 1, max: "1", word: r4.Active}, always("name"),
				rule{path: "mode", min: 1, max: "1", word: "instance"}),
			never("telecom", "address"), []rule{{path: "physicalType", min: 1, max: "1", coding: &r4.Bed.Standard[0]}},
			never("position"))},
	{id: "staff", title: "Person of the staff", kind: "Practitioner",
		says: "Who charted something, by staff key: sent of people whom the policy lists. Nothing private is sent.",
		rules: slices.Concat(
			identified("1", rule{path: "name", min: 1, max: "1"}, always("name.text")),
			never("telecom", "address", "gender", "birthDate", "photo", "qualification"))},
}

var equipment = []profile{
	{id: "device", title: "Device", kind: "Device",
		says: "Interface or bonnet by type and size, one placement of a tube, one fitting of a circuit, a driver by its asset tag, or " +
			"the program that compiled a handover; the last two have no patient. A tube or circuit is inactive once its wear has ended, " +
			"an interface or bonnet once the infant has left.",
		rules: slices.Concat(identified("1"), never("udiCarrier"), []rule{always("status")}, never("manufacturer", "serialNumber",
			"modelNumber"), []rule{{path: "type", min: 1, max: "1", set: "devices"}, {path: "patient", max: "1", target: "Patient"}})},
	{id: "device-use", title: "Wear period", kind: "DeviceUseStatement",
		says: "One period in which a device was in use; active and without an end while it lasts.",
		rules: identified("1", always("status"), to("subject", "Patient"), rule{path: "derivedFrom", max: "1", target: "Observation"},
			rule{path: "timing[x]", min: 1, max: "1", types: "Period"}, always("timing[x].start"), always("recordedOn"),
			to("source", "Practitioner"), to("device", "Device"))},
	{id: "oxygen-sensor", title: "Oxygen sensor", kind: "DeviceMetric",
		says: "The state of the oxygen sensor after its latest check of a stay; the check itself is an Observation. An operational " +
			"status stands there only where it was entered in error.",
		rules: identified("1", rule{path: "type", min: 1, max: "1", own: r4.FiO2Read.Code},
			rule{path: "unit", min: 1, max: "1", coding: &r4.Standard{System: r4.UCUMSystem, Code: r4.Percent.UCUM, Display: ""}},
			rule{path: "source", max: "1", target: "Device"}, rule{path: "category", min: 1, max: "1", word: "measurement"},
			always("calibration"), always("calibration.type"), always("calibration.state"), always("calibration.time"))},
}

var organising = []profile{
	{id: "to-do", title: "Something to do", kind: "Task",
		says: "What is to be done: due by the unit's policy (intent plan), or charted as a task or a plan by a person (intent order). " +
			"Restriction.period begins when it falls due and ends when it is overdue, where that is known; overdue is not a status. The " +
			"execution period ends when it was done.",
		rules: slices.Concat(
			identified("1", always("status"), rule{path: "statusReason", max: "1"}, always("intent"),
				rule{path: "code", min: 1, max: "1", set: "to-do", most: "3"},
				rule{path: "description", max: "1"}, rule{path: "focus", max: "1", target: "Device"}, to("for", "Patient"),
				rule{path: "encounter", max: "1", target: "Encounter"},
				rule{path: "executionPeriod", max: "1"}, always("authoredOn"), always("lastModified"),
				rule{path: "requester", max: "1", target: "Practitioner"}),
			never("owner"), []rule{{path: "restriction", max: "1"}, always("restriction.period")}, never("input", "output"))},
	{id: "to-mind", title: "Something to mind", kind: "Flag",
		says: "Another infant who could be mistaken for this one, or who is charted with what only one can have. It names the other by " +
			"nothing. Once it is over it is inactive, and its period has an end.",
		rules: slices.Concat(
			identified("1", always("status"), rule{path: "category", min: 1, max: "1", coding: &r4.Safety.Standard[0]},
				rule{path: "code", min: 1, max: "1", set: "to-mind"},
				to("subject", "Patient"), always("period"), always("period.start")),
			[]rule{{path: "encounter", max: "1", target: "Encounter"}}, never("author"))},
}

var documenting = []profile{
	{id: "carried-entry", title: "Carried entry", kind: "Basic",
		says: "The text of an entry of the record that yields no resource of another type, and of what corrects it: so that the record " +
			"can be read back without loss. One of the whole unit has no subject.",
		rules: append([]rule{{path: "extension", min: 1, max: "*", carry: true}},
			identified("1", rule{path: "code", min: 1, max: "1", own: r4.CareEntry.Code},
				rule{path: "subject", max: "1", target: "Patient"}, always("created"), to("author", "Practitioner"))...)},
	{id: "amendment", title: "Correction", kind: "Provenance",
		says: "Who corrected what an entry yields, when and why: the text of the reason is the charter's own. Recorded is when the " +
			"correction was charted. The type has no identifier.",
		rules: slices.Concat([]rule{{path: "target", min: 1, max: "*"}}, never("occurred[x]"),
			[]rule{always("recorded"), {path: "reason", min: 1, max: "1", set: "amendments"}, always("reason.text"),
				{path: "activity", min: 1, max: "1", coding: &r4.Updated.Standard[0]}, always("agent"), to("agent.who", "Practitioner")},
			never("entity"))},
	{id: "handover-note", title: "Handover", kind: "Composition",
		says: "A nurse's handover of one infant, the first entry of a document. Preliminary, by the program, until it is signed; then " +
			"final, by the nurse who signed it, who attests it, and so does each who accepted it. Amended where it tells what was " +
			"written down of its time after it was signed. Its sections are always the same and in one order, each told in words.",
		rules: identified("1", always("status"), rule{path: "type", min: 1, max: "1", own: r4.ShiftHandover.Code,
			coding: &r4.NurseSummary.Standard[0]}, to("subject", "Patient"),
			to("encounter", "Encounter"), rule{path: "author", min: 1, max: "1", target: "Practitioner Device"},
			rule{path: "attester", max: "*"},
			rule{path: "section", min: fhir.SectionCount(), max: strconv.Itoa(fhir.SectionCount())}, always("section.title"),
			always("section.code"), always("section.text"))},
}

var observing = []profile{
	{id: chartedID, title: "Charted fact", kind: "Observation",
		says: "What one entry says under one role, or what is computed from it. Issued is since when the version that stands has stood. " +
			"A corrected fact keeps its identifier and says corrected, an index computed anew amended, and so does what leaves out a " +
			"size or a tube that another entry tells, once that changes; one that was withdrawn says entered-in-error.",
		rules: slices.Concat(
			identified("1", always("status"), always("category"), to("subject", "Patient"),
				rule{path: "encounter", max: "1", target: "Encounter"},
				rule{path: "effective[x]", min: 1, max: "1", types: "dateTime Period"}, always("issued"), to("performer", "Practitioner")),
			never("interpretation"), []rule{{path: "note", max: "*"}}, never("referenceRange"))},
	{id: "set-value", title: "Set value", kind: "Observation", base: chartedID, codes: "set-values",
		says: "What is set on the driver or prescribed: never a vital sign, never what was read.",
		rules: append([]rule{{path: "category", min: 1, max: "1", coding: &r4.Therapy.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "Quantity", unit: &r4.Unit{}}},
			never("dataAbsentReason", "component")...)},
	{id: "alarm-limit", title: "Alarm limit", kind: "Observation", base: chartedID, codes: "alarm-limits",
		says: "A limit of an alarm as it is set, on monitor or driver: a limit that is not sent again stays as it was.",
		rules: append([]rule{{path: "category", min: 1, max: "1", coding: &r4.Therapy.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "Quantity", unit: &r4.Unit{}}},
			never("dataAbsentReason", "component")...)},
	{id: "blood-gas", title: "Blood gas", kind: "Observation", base: chartedID, code: r4.BloodGas.Code,
		says: "A blood gas as it was read: the sample, and as members what was read. Nothing is computed from it.",
		rules: slices.Concat([]rule{{path: "category", min: 1, max: "1", coding: &r4.Laboratory.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "CodeableConcept", set: "gas-sample"},
			{path: "hasMember", min: 1, max: "5", target: "Observation"}}, never("component"))},
	{id: "gas-value", title: "Value of a blood gas", kind: "Observation", base: chartedID, codes: "gas-values",
		says: "One value of a blood gas, with LOINC's code for the sample that its one component names.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &r4.Laboratory.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "Quantity", unit: &r4.Unit{}},
			{path: "component", min: 1, max: "1"}}},
	{id: "safety-check", title: "Safety check", kind: "Observation", base: chartedID, code: r4.SafetyCheck.Code,
		says: "What was in order at the cot, and what was not: a component an item of the unit's own list, by the unit's code of it. " +
			"An item that is none was not looked at.",
		rules: slices.Concat([]rule{{path: "category", min: 1, max: "1", coding: &r4.Procedure.Standard[0]}}, never("value[x]"),
			[]rule{{path: "component", min: 1, max: "*"}})},
	{id: "set-up", title: "Set-up", kind: "Observation", base: chartedID, code: r4.SetupDone.Code,
		says: "What of the set-up was done, and what was not: a component a step of the unit's own list, by the unit's code of it. A " +
			"step that is none was not ticked either way.",
		rules: slices.Concat([]rule{{path: "category", min: 1, max: "1", coding: &r4.Procedure.Standard[0]}}, never("value[x]"),
			[]rule{{path: "component", min: 1, max: "*"}})},
	{id: "sensor-check", title: "Oxygen sensor check", kind: "Observation", base: chartedID, code: r4.SensorCheck.Code,
		says: "A check of the oxygen sensor. The value is what it came to by the unit's tolerance, and is left out where a gas of the " +
			"unit's policy was not read; each reading is a component, and a member that also holds its gas as a value.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &r4.Procedure.Standard[0]},
			{path: "value[x]", max: "1", types: "CodeableConcept", set: "sensor-verdicts"},
			{path: "hasMember", min: 1, max: "*", target: "Observation"}, {path: "component", min: 1, max: "*"}}},
	{id: "alarm", title: "Alarm", kind: "Observation", base: chartedID, code: r4.Alarm.Code,
		says: "An alarm of the support. Each component that is a cause says whether it was found, in the order in which they were " +
			"looked for: one of the unit's own list by the unit's code of it, any other in words.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &r4.Procedure.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "CodeableConcept", set: "alarm"}}},
	{id: "episode", title: "Episode", kind: "Observation", base: chartedID, code: r4.Episode.Code,
		says: "Apnoea, bradycardia or desaturation, or several together, as the value says; each sign is a component too, and so is " +
			"how the infant recovered.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &r4.Exam.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "CodeableConcept", set: "episode-signs"},
			{path: "component", min: 2, max: "*"}}},
	{id: "care-given", title: "Care", kind: "Observation", base: chartedID, code: r4.Care.Code,
		says: "A care that was given; one of the unit's own list also by the unit's code of it.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &r4.Procedure.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "CodeableConcept", set: "cares"}}},
	{id: "index", title: "Index", kind: "Observation", base: chartedID, codes: "indices", most: "2",
		says: "A figure computed at a reading of SpO2 from what was set then; where CPAP pressure stands in for mean airway pressure, " +
			"the method says so.",
		rules: append([]rule{{path: "category", min: 1, max: "1", coding: &r4.Therapy.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "Quantity", unit: &r4.Index},
			{path: "derivedFrom", min: 2, max: "3", target: "Observation"}}, never("component")...)},
	{id: "figure", title: "Figure of a handover", kind: "Observation", codes: "figures",
		says: "What the program computed for one handover: it carries that handover's identity and stands in its document only. Nobody " +
			"performed it; the device is the program.",
		rules: slices.Concat(
			identified("1", always("status"), rule{path: "category", min: 1, max: "1", coding: &r4.Survey.Standard[0]},
				to("subject", "Patient"), rule{path: "encounter", max: "1", target: "Encounter"},
				rule{path: "effective[x]", min: 1, max: "1", types: "dateTime Period"}, always("issued")),
			never("performer"), []rule{{path: "value[x]", min: 1, max: "1", types: "Quantity boolean integer"}},
			never("dataAbsentReason", "interpretation"),
			[]rule{always("method"), to("device", "Device")}, never("referenceRange"))},
	{id: "score", title: "Silverman-Andersen score", kind: "Observation", base: chartedID, code: r4.Silverman.Code,
		says: "Five items and, only when all five were charted, their sum.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &r4.Survey.Standard[0]},
			{path: "value[x]", max: "1", types: "Quantity", unit: &r4.Score},
			{path: "component", min: 5, max: "5"}}},
	{id: "skin-check", title: "Skin check", kind: "Observation", base: chartedID, code: r4.SkinRound.Code,
		says: "One round: its members are the sites that were seen; a site that is none was not seen.",
		rules: slices.Concat([]rule{{path: "category", min: 1, max: "1", coding: &r4.Exam.Standard[0]}}, never("value[x]"),
			[]rule{{path: "hasMember", min: 1, max: "*", target: "Observation"}}, never("component"))},
	{id: "skin-site", title: "Skin site", kind: "Observation", base: chartedID, code: r4.SkinSite.Code,
		says: "The finding at one site; intact is a finding. The side of a site that has one is a component, for published codes of " +
			"most sites have none.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &r4.Exam.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "CodeableConcept", set: "finding"},
			{path: "bodySite", min: 1, max: "1", set: "site"}}},
	{id: "rotation", title: "Rotation", kind: "Observation", base: chartedID, code: r4.Rotation.Code,
		says: "A change between mask and prongs within a spell of support.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &r4.Therapy.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "CodeableConcept", set: "rotations"}}},
	{id: "tube-mark", title: "Mark of a gastric tube", kind: "Observation", base: chartedID, code: r4.TubeMark.Code,
		says: "The centimetre mark at the lip or nostril.",
		rules: append([]rule{{path: "category", min: 1, max: "1", coding: &r4.Exam.Standard[0]},
			{path: "value[x]", min: 1, max: "1", types: "Quantity", unit: &r4.Centimetres}}, never("component")...)},
}
