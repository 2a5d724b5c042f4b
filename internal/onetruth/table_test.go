package onetruth

import "slices"

// row is one fact of handover.json and where each face tells it, or "– " and why
// that one does not. A path may hold several of a kind, apart by blanks; [] is any
// item of a list, * any one name. What is told is held equal; where words tell a
// fact only at times, expectedInWords says when.
type row struct {
	paths string
	words string // text, page and PDF: the label of the line
	book  string // workbook and CSV: the sheet
	fhir  string // the resource, or the section of the document
}

// Why a face does not tell a fact.
const (
	halfASheet = "– an infant has half a sheet of paper: an entry is found by its moment, who charted it in the workbook"
	ownKey     = "– the record's own key means nothing to a receiver, who knows the infant by hospital number or label"
	itsMoment  = "– a state of this moment, which the receiver's clock moves on: what is due goes as a Task, once it is"
)

// table is every fact. TestEveryFactHasARow fails where handover.json has one that
// no row claims, or two do.
var table = slices.Concat(ofTheUnit, ofLookingFirst, ofTheInfant, ofBreathing, ofTheFace, ofTheBody, ofEquipment, ofCare, sources)

var ofTheUnit = []row{
	{"unit", "Unit", "About", "– the organization is a setting of the export, not a fact of an infant"},
	{"at", "Handover", "About", "Composition"},
	{"known", "Handover", "About", "Bundle"},
	{"policy", "From", "About", "– the receiver has no use for a hash of the unit's policy"},
	{"left[].cot left[].mrn left[].to left[].place left[].at left[].restricted", "Left", "Facts",
		"– the export is of who is admitted: the discharge ends an Encounter in the next difference"},
	{"left[].temporary", "Left", "Facts", "– as left"},
	{"left[].family left[].given", "Left", "Facts", "– as left"},
	{"left[].infant", "– the cot and the number say who left; nobody looks that infant up here", "Facts", "– as left"},
	{"notes[].text notes[].readOut notes[].by notes[].at", "Notes|Unit notes", "Facts", "Observation"},
	{"tasks[].text tasks[].dueAt tasks[].by", "Tasks|Unit tasks", "Facts", "Task"},
	{"tasks[].task", halfASheet, "Facts", "Task"},
	{"tasks[].at", halfASheet, "Facts", "– a Task is authored when it is written down"},
	{"notes tasks", "None charted", "– a list without items has no row", "– nothing charted sends nothing"},
	{"late left", "– no line where there is none", "– a list without items has no row", "– nothing charted sends nothing"},
}

var ofTheInfant = []row{
	{"infant", "Who", "Handover", ownKey},
	{"cot", "Called", "Handover", "Encounter"},
	{"mrn", "Called", "Handover", "Patient"},
	{"temporary", "Who|Called", "Handover", "Patient"},
	{"restricted", "Called", "Handover", "Patient"},
	{"family given", "Called", "Handover", "Patient"},
	{"formerly", "Who", "Handover", "– an earlier name is for the eye at the cot: the receiver holds its own history of names"},
	{"sex", "Who", "Facts", "Patient"},
	{"mother", "– an opaque key: siblings stand as look-alikes", "Facts", "– an opaque key: siblings have a Flag"},
	{"visit", "Who", "Facts", "Encounter"},
	{"birthOrder", "Who", "Facts", "Patient"},
	{"multiples", "Who", "Facts", "Observation"},
	{"since", "Changed|Window", "Facts", "section-changes"},
	{"new", "Changed", "Facts", "section-changes"},
	{"age.gestation", "Who", "Facts", "section-growth"},
	{"age.postmenstrual age.about", "Who", "Facts", "section-growth"},
	{"age.dayOfLife", "Who", "Facts", "figure"},
}

var ofBreathing = []row{
	{"support.state support.mode support.driver support.modeSince", "Support", "Facts", "Observation"},
	{"support.stoppedAt support.reason", "Support", "Facts", "Observation"},
	{"support.since", "Support", "Facts", "– the first of the Observations of support in this spell"},
	{"settings.*.value settings.*.at", "Support", "Facts", "Observation"},
	{"settings.*", "Support", "Facts", "section-support"},
	{"fio2.minPercent fio2.maxPercent fio2.meanPercent fio2.rises", "Oxygen", "Facts", "figure"},
	{"fio2.meanBeforePercent", "Oxygen", "Facts", "– of the window before: in the document of that one"},
	{"spo2.count spo2.below spo2.inTarget spo2.above spo2.noTarget", "Oxygen", "Facts", "figure"},
	{"fio2 spo2", "Oxygen", "Facts", "section-mind"},
	{"indices.sf indices.severity indices.osi indices.at", "Oxygen", "Facts", "Observation"},
	{"indices.spo2Percent", "Oxygen", "– the SpO2 of that moment stands among the observations' history", "Observation"},
	{"indices", "Oxygen", "Facts", "section-mind"},
	{"observations.*.value observations.*.at", "Seen", "Facts", "Observation"},
	{"observations", "None charted", "– a list without items has no row", "– nothing charted sends nothing"},
	{"silverman.total silverman.at", "Seen", "Facts", "Observation"},
	{"silverman.items.*", "– the sum is what is handed over", "– the sum is; the items stand with their entry in sheet Entries",
		"Observation"},
	{"silverman", "Seen", "Facts", "section-mind"},
	{"episodes.window.* episodes.day.*", "Episodes", "Facts", "figure"},
	{"episodes.helpedAt", "Episodes", "Facts", "Observation"},
}

var ofTheFace = []row{
	{"interface.type interface.size interface.since", "Interface", "Facts", "Observation"},
	{"interface", "Interface", "Facts", "section-mind"},
	{"rotation.last.from rotation.last.to rotation.last.at", "Interface", "Facts", "Observation"},
	{"rotation.last.fromSince rotation.last.fromUntil", "Interface", "– by the rows of Interfaces", "– by interfaces of a whole export"},
	{"rotation.last", "Interface", "Facts", "– nothing rotated sends nothing"},
	{"rotation.dueAt rotation.overdueAt rotation.state rotation.until", "Next|Due|Interface", "Facts", itsMoment},
	{"hoursUnder.*", "Interface|Skin", "Facts", "figure"},
	{"hoursUnder", "Interface", "Facts", "section-mind"},
	{"skin.sites[].site skin.sites[].finding skin.sites[].also skin.sites[].underBarrier skin.sites[].at skin.sites[].action " +
		"skin.sites[].note", "Skin", "Facts", "Observation"},
	{"skin.sites[].change", "Skin", "Facts", "– against the last handover: what differs stands in section-changes"},
	{"skin.sites", "Skin", "– a list without items has no row: skin checkedAt says it", "section-mind"},
	{"skin.worst skin.worstSite", "Skin", "Facts", "– the worst of the sites, each of which is sent"},
	{"skin.worstAt skin.checkedAt", "Skin", "Facts", "– the moment of a site that is sent"},
	{"skin.unseen", "Skin", "Facts", "section-skin"},
	{"skin.dueAt skin.overdueAt skin.state skin.until skin.dueSites", "Next|Due", "Facts", itsMoment},
}

var ofTheBody = []row{
	{"tubes[].use tubes[].route tubes[].sizeFr", "Tube", "Facts", "Observation"},
	{"tubes[].markCm tubes[].at tubes[].ph.value tubes[].ph.at tubes[].aspirate tubes[].aspirateFrom.at", "Tube", "Facts", "Observation"},
	{"tubes[].aspirateAt", "Tube", "– as aspirateFrom.at", "– as aspirateFrom.at"},
	{"tubes[].referenceMarkCm", "Tube", "Facts", "Observation"},
	{"tubes[].referenceAt", halfASheet, "Facts", "Observation"},
	{"tubes[].checkedAt", "Tube", "Facts", "Observation"},
	{"tubes[].moved tubes[].estimateCm tubes[].estimateBy", "Tube", "Facts", "figure"},
	{"tubes[].estimateWeightAt", "Tube", "Facts", "– the moment of a weight that is sent"},
	{"tubes", "Tube", "Facts", "section-mind"},
	{"weight.weightG weight.at", "Growth", "Facts", "Observation"},
	{"birthWeight.weightG", "Growth", "Facts", "Observation"},
	{"weight.z weight.centile weight.standard head.z head.centile head.standard", "Growth", "Facts", "figure"},
	{"birthWeight.z birthWeight.centile birthWeight.standard", "Growth", "Facts",
		"– a place at birth does not change: the receiver has weight, sex and gestation"},
	{"weight.noZ birthWeight.noZ head.noZ", "Growth", "Facts", "– no figure is sent"},
	{"weight birthWeight head", "Growth", "Facts", "section-mind"},
	{"head.circumferenceCm head.at head.unreliable", "Growth", "Facts", "Observation"},
	{"head.growthCmPerWeek", "Growth", "Facts", "figure"},
	{"head.withinError", "Growth", "Facts", "figure"},
	{"head.growthFrom.circumferenceCm head.growthFrom.at", "Growth", "Facts", "Observation"},
	{"bonnet.size bonnet.since bonnet.at", "Bonnet", "Facts", "Observation"},
	{"bonnet.fits", "Bonnet", "Facts", "– head and size are sent; section-first says where they do not fit"},
	{"bonnet.reasons[].reason bonnet.reasons[].on", "Bonnet", "Facts", itsMoment},
	{"bonnet.reasons", "– no line where there is none", "– a list without items has no row", "– no reason, nothing to send"},
	{"bonnet.checkFrom bonnet.latest", "Bonnet", "Facts", "– a forecast of this moment"},
	{"bonnet.dueOn bonnet.reason bonnet.state bonnet.until", "Next|Due", "Facts", itsMoment},
	{"bonnet", "Bonnet", "Facts", "section-mind"},
}

var ofEquipment = []row{
	{"humidifier.state", "Humidifier", "Facts", "– from readings and states that are sent"},
	{"humidifier.chamberC", "Humidifier", "Facts", "Observation"},
	{"humidifier.inTolerance", "Humidifier", "Facts", "– the state says it"},
	{"humidifier.at", "Humidifier", "Facts", "Observation"},
	{"humidifier.chamberFrom.at", "Humidifier", "Facts", "Observation"},
	{"humidifier.readyBeforeUse", "Humidifier", "Facts", "– from readings and states that are sent"},
	{"humidifier.water", "Humidifier", "Facts", "Observation"},
	{"humidifier.waterEmptyAt", "Humidifier", "Facts", "– water, among what comes next"},
	{"humidifier setup", "Humidifier|Set-up", "Facts", "section-mind"},
	{"setup.calibrated", "Set-up", "Facts", "– from the readings, each said to be within tolerance or not"},
	{"setup.points[].gasPercent setup.points[].readPercent setup.points[].at", "Set-up", "Facts", "Observation"},
	{"setup.points[].ok", "Set-up", "Facts", "– from reading and gas, which are sent; section-first says that a sensor failed"},
	{"setup.points[].humidPercent", "Set-up", "Facts", "– a hint at the cot side"},
	{"setup.points", "Set-up", "– a list without items has no row", "– nothing charted sends nothing"},
	{"setup.sealHeld", "Set-up", "Facts", "– the latest seal check, which is sent"},
	{"setup.notDone", "Set-up", "Facts", "section-devices"},
	{"setup.circuitDueOn", "Set-up|Next|Due", "Facts", itsMoment},
	{"setup.probeCaution", "Set-up", "Facts", "section-devices"},
}

var ofCare = []row{
	{"cares[].what cares[].side cares[].state cares[].text cares[].at", "Cares", "Facts", "Observation"},
	{"cares[].window", "Cares", "Facts", "section-words"},
	{"cares alarms plans", "None charted", "– a list without items has no row", "– nothing charted sends nothing"},
	{"alarms[].about alarms[].tried[].cause alarms[].tried[].found alarms[].tried alarms[].action alarms[].settledAt alarms[].at",
		"Alarms", "Facts", "Observation"},
	{"outlook.severity outlook.ifThen[].if outlook.ifThen[].then outlook.callFor outlook.by outlook.at", "Outlook", "Facts",
		"Observation"},
	{"outlook", "Outlook", "– what is optional and not charted has no row", "section-mind"},
	{"plans[].what plans[].care plans[].every plans[].until plans[].reason plans[].by plans[].at", "Plans", "Facts", "Task"},
	{"due[].what due[].care due[].text due[].at due[].on due[].state due[].until", "Due", "Due", "section-due"},
	{"due[].overdueAt due[].every due[].why", "Due", "Due", "Task"},
	{"due[].planned", "Due", "Due", "– the plan is sent"},
	{"due[].task", halfASheet, "Due", "Task"},
	{"due", "Due", "– a list without items has no row", "section-due"},
	{"changes[].path changes[].from changes[].to changes[].why", "Changed", "Changes", "section-changes"},
	{"changes[].entry", halfASheet, "Changes", "– the entry's own resource is sent"},
	{"changes", "Changed", "– a list without items has no row", "section-changes"},
	{"remarks[].why", "Remarks", "Facts", "section-mind"},
	{"remarks[].entry", "Remarks", "Facts", "– the entry counts for nothing"},
	{"thresholds[].name thresholds[].met thresholds[].source", "Unit rules", "Facts", "section-mind"},
	{"thresholds[].text", "– it is of field names: the rule's own name and source say it", "Facts", "– as in words"},
	{"gaps", "Not charted", "Facts", "section-mind"},
	{"conflicts[].what conflicts[].value conflicts[].infant", "Conflict", "Handover", "section-mind"},
	{"lookAlikes[].infant lookAlikes[].why", "Look-alike", "Handover", "section-mind"},
	{"remarks thresholds", "– no line where there is none", "– a list without items has no row", "– no line where there is none"},
	{"conflicts lookAlikes", "– no line where there is none", "Handover", "– no line where there is none"},
}
