package handover

import "cotline/handover/entry"

// policyKey is a leaf of the policy: where it stands, its default as JSON, and
// where that default comes from.
type policyKey struct {
	path    string
	initial string // JSON; empty: no default
	origin  Origin
	why     string
	read    func(d *policyDecoder, p *Policy, v entry.Value, path string)
}

// policyKeys is the one place of every default and its origin.
var policyKeys = []policyKey{
	{"unit", `"Alder neonatal unit"`, Invented, "", readText(func(p *Policy) *string { return &p.Unit })},
	{"timezone", `"Europe/Dublin"`, Invented, "", readZone},
	{"shifts", `["07:30","19:30"]`, Invented, "local starts", readShifts},
	{"clockTolerance", `"2m"`, Invented, "", readDuration(func(p *Policy) *duration { return &p.ClockTolerance })},

	{"every.rotationDue", `"4h"`, CommonPractice,
		"mask and prongs alternated 4 to 6 hourly; trials disagree (Newnam 2015, Bashir 2019, Gautam 2023)",
		readEvery(func(p *Policy) *entry.Every { return &p.RotationDue })},
	{"every.rotationOverdue", `"6h"`, CommonPractice, "", readEvery(func(p *Policy) *entry.Every { return &p.RotationOverdue })},
	{"every.skinDue", `"4h"`, CommonPractice, "with the rotation; sites under the interface, and any site that is not intact",
		readEvery(func(p *Policy) *entry.Every { return &p.SkinDue })},
	{"every.skinOverdue", `"6h"`, CommonPractice, "", readEvery(func(p *Policy) *entry.Every { return &p.SkinOverdue })},
	{"every.headSkinDue", `"12h"`, CommonPractice, "sites under bonnet and straps",
		readEvery(func(p *Policy) *entry.Every { return &p.HeadSkinDue })},
	{"every.headSkinOverdue", `"24h"`, CommonPractice, "", readEvery(func(p *Policy) *entry.Every { return &p.HeadSkinOverdue })},
	{"every.head", `"7d"`, CommonPractice, "weekly", readEvery(func(p *Policy) *entry.Every { return &p.Head })},
	{"every.humidifier", `"4h"`, Invented, "chamber temperature and water looked at; each unit sets its own",
		readEvery(func(p *Policy) *entry.Every { return &p.Humidifier })},
	{"every.safety", `"12h"`, Invented, "safety check at the cot, each shift; none without a list",
		readEvery(func(p *Policy) *entry.Every { return &p.Safety })},
	{"every.observations", `"1h"`, Invented, "each unit sets its own", readEvery(func(p *Policy) *entry.Every { return &p.Observations })},
	{"every.tube", `"6h"`, Invented, "mark checked with the cares; each unit sets its own",
		readEvery(func(p *Policy) *entry.Every { return &p.Tube })},
	{"every.circuit", `"7d"`, CommonPractice, "published guidance (SHEA/IDSA 2022): when soiled or faulty, or per manufacturer",
		readEvery(func(p *Policy) *entry.Every { return &p.Circuit })},
	{"every.oxygenSensor", `"none"`, Invented, "each unit sets its own",
		readEvery(func(p *Policy) *entry.Every { return &p.OxygenSensor })},
	{"every.care", `{"mouth-care":"none"}`, Invented, "per care", readCares},

	{"rotation.types", `["mask","prongs"]`, CommonPractice, "these two, or none", readRotationTypes},
	{"rotation.rest", `"1h"`, Invented, "off this long, the clocks start afresh",
		readDuration(func(p *Policy) *duration { return &p.Rest })},
	{"support.breakUpTo", `"1h"`, Invented, "a stop no longer than this is a break in the spell",
		readDuration(func(p *Policy) *duration { return &p.BreakUpTo })},
	{"tube.movedCm", `1.0`, Invented, "no published tolerance",
		readDecimal("20", func(p *Policy) *entry.Decimal { return &p.MovedCm })},
	{"tube.lengthBy", `"freeman-2012"`, Published, "Freeman 2012, Adv Neonatal Care: a prompt, never an order", readLengthBy},
	{"tube.weightUpTo", `"14d"`, Invented, "", readDuration(func(p *Policy) *duration { return &p.WeightUpTo })},
	{"humidifier.targetC", `37`, CommonPractice, "", readDecimal("60", func(p *Policy) *entry.Decimal { return &p.TargetC })},
	{"humidifier.toleranceC", `1.0`, Invented, "", readDecimal("20", func(p *Policy) *entry.Decimal { return &p.ToleranceC })},
	{"humidifier.warmUp", `"30m"`, Invented, "", readDuration(func(p *Policy) *duration { return &p.WarmUp })},
	{"oxygenSensor.points", `[21,100]`, CommonPractice, "two-point check", readPoints},
	{"oxygenSensor.toleranceVolPercent", `2.5`, Published, "form of the limit as in a published ventilator data sheet",
		readDecimal("50", func(p *Policy) *entry.Decimal { return &p.ToleranceVol })},
	{"oxygenSensor.toleranceOfGasPercent", `2.5`, Published, "form of the limit as in a published ventilator data sheet",
		readDecimal("50", func(p *Policy) *entry.Decimal { return &p.ToleranceOfGas })},
	{"indices", `["sf","severity"]`, Invented, "osi may be added", readIndices},
	{"nextWithin", `"12h"`, Invented, "a shift", readDuration(func(p *Policy) *duration { return &p.NextWithin })},
	{"doubt.headCm", `1.0`, Invented, "", readDecimal("20", func(p *Policy) *entry.Decimal { return &p.Doubt.HeadCm })},
	{"doubt.headCmPerWeek", `1.5`, Invented, "", readDecimal("20", func(p *Policy) *entry.Decimal { return &p.Doubt.HeadCmPerWeek })},
	{"doubt.headZ", `5`, Invented, "", readDecimal("20", func(p *Policy) *entry.Decimal { return &p.Doubt.HeadZ })},
	{"doubt.weightPercent", `15`, Invented, "", readDecimal("100", func(p *Policy) *entry.Decimal { return &p.Doubt.WeightPercent })},
	{"doubt.weightWithin", `"72h"`, Invented, "", readDuration(func(p *Policy) *duration { return &p.Doubt.WeightWithin })},
	{"doubt.bonnetCm", `1.0`, Invented, "", readDecimal("20", func(p *Policy) *entry.Decimal { return &p.Doubt.BonnetCm })},
	{"doubt.offSupport", `"30m"`, Invented, "", readDuration(func(p *Policy) *duration { return &p.Doubt.OffSupport })},
	{"doubt.twice", `"60s"`, Invented, "", readDuration(func(p *Policy) *duration { return &p.Doubt.Twice })},
	{"thresholds", `[]`, UnitPolicy, "the unit's own", readThresholds},
	{"safety", `[]`, UnitPolicy, "the unit's own list of what is looked at at the cot",
		readNames(func(p *Policy) *[]string { return &p.Checks })},
	{"cares", `[]`, UnitPolicy, "the unit's own further cares", readOwnCares},
	{"setup", `["gases","power","chamber","water","circuit","probe","sensor-air","sensor-oxygen","seal","temperature"]`, Invented, "",
		readNames(func(p *Policy) *[]string { return &p.Setup })},
	{"alarms", `{"low-pressure":["interface seal","mouth open","tubing off","water in tubing"],` +
		`"high-pressure":["tubing kinked","interface blocked"]}`, Invented, "", readAlarms},
	{"sizes.mask", ``, UnitPolicy, "", readSizes("mask")},
	{"sizes.prongs", ``, UnitPolicy, "", readSizes("prongs")},
	{"sizes.cannula", ``, UnitPolicy, "", readSizes("cannula")},
	{"sizes.bonnet", ``, UnitPolicy, "", readBonnets},
	{"under.mask", `["bridge","philtrum","cheek-left","cheek-right"]`, CommonPractice, "", readUnder("mask")},
	{"under.prongs", `["septum","columella","naris-left","naris-right","philtrum"]`, CommonPractice, "", readUnder("prongs")},
	{"under.cannula", `["naris-left","naris-right","philtrum","cheek-left","cheek-right"]`, CommonPractice, "", readUnder("cannula")},
	{"under.any", `["forehead","ear-left","ear-right","occiput"]`, CommonPractice, "bonnet and straps", readUnder("any")},
	{"staff", `[]`, UnitPolicy, "", readStaff},

	{"fhir.base", `"https://cotline.example/fhir"`, Invented, "", readURI(func(p *Policy) *string { return &p.FHIR.Base })},
	{"fhir.patients", `"conditional"`, Invented, "match, conditional, ours", readPatients},
	{"fhir.identifiers.mrn", ``, UnitPolicy, "", readIdentifier("mrn")},
	{"fhir.identifiers.visit", ``, UnitPolicy, "", readIdentifier("visit")},
	{"fhir.identifiers.staff", ``, UnitPolicy, "", readIdentifier("staff")},
	{"fhir.identifiers.device", ``, UnitPolicy, "", readIdentifier("device")},
	{"fhir.organization", ``, UnitPolicy, "", readOrganization},
	{"fhir.send", `["Observation","DeviceUseStatement","Device"]`, Invented, "", readSend},
	{"fhir.codes", ``, UnitPolicy, "the site's further codings", readText(func(p *Policy) *string { return &p.FHIR.Codes })},
	{"fhir.left", `"30d"`, Invented, "how long who left, and what was due or flagged and is over, still stands, closed, in a whole export",
		readDuration(func(p *Policy) *duration { return &p.FHIR.Left })},
	{"fhir.leave", `[]`, UnitPolicy, "what is not sent: indices, cares, narrative", readLeave},
	{"fhir.test", `false`, Invented, "true: every resource is marked as test data", readTest},
}
