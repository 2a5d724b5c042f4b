package handover

// Further origins of a value, beside those of the policy's defaults.
const (
	// FromMemory is a value for which no document was opened. It is never shown
	// as cited: its Source says what it is to be held against.
	FromMemory Origin = "from memory"
	// OwnFit is a value that was fitted for this tool on data that Source names.
	OwnFit Origin = "own fit"
	// Definition is true by the meaning of words and units.
	Definition Origin = "definition"
)

// Constant is a formula, a constant or a convention of the engine. Value holds
// every number of it as the code has it, in words of the trade.
type Constant struct {
	Name   string
	Value  string
	Use    string
	Origin Origin
	Source string   // a citation only where Origin is Published
	In     []string // the functions and constants of this package that hold it
}

// ConstantGroup is a heading and what stands under it.
type ConstantGroup struct {
	Title     string
	Constants []Constant
}

func in(names ...string) []string { return names }

// What the growth standards are taken from; a short name for each.
const (
	villar2015 = "INTERGROWTH-21st Preterm Postnatal: Villar J et al., Lancet Glob Health 2015;3:e681-91. Equation as in two public " +
		"implementations; agrees with the published centile tables"
	villar2016 = "INTERGROWTH-21st Very Preterm Size at Birth: Villar J et al., Lancet 2016;387:844-5. Equation as in two " +
		"public implementations"
	cheikh2013 = "Cheikh Ismail L et al., BJOG 2013;120 suppl 2:48-55: technical error of measurement 0.3 to 0.4 cm, within " +
		"and between observers"
)

// Constants is the one place that says where every number of the engine comes
// from; a test holds the package's source to it. The defaults of the policy
// have their origins in policyKeys.
var Constants = []ConstantGroup{
	{"Growth standards", []Constant{
		{"Head for age, preterm postnatal", "mean 55.53617 − 852.0059 / x (+ 0.7957903 for boys) cm, SD 3.0582292 + 3910.05 / x² " +
			"− 180.5625 / x, at x exact weeks",
			"z-score, centile and centile curves of the head after the day of birth; the forecast", Published,
			villar2015 + " to 0.06 cm from 27 to 64 weeks.", in("headCurve")},
		{"Weight for age, preterm postnatal",
			"ln kg: mean 2.591277 − 0.01155 √x − 2201.705 / x² (+ 0.0911639 for boys), SD 0.1470258 + 505.92394 / x² − 140.0576 ln x / x²",
			"z-score and centile of a weight after the day of birth", Published, villar2015 + " to 0.005 kg.", in("weightCurve")},
		{"Head at birth, very preterm", "mean 0.7866522 + 0.887638 x (+ 0.2513385 for boys) cm, SD √2.433481",
			"z-score and centile of a head on the day of birth", Published,
			villar2016 + "; agrees with the published centile tables to 0.06 cm.", in("birthHeadCurve")},
		{"Weight at birth, very preterm", "ln kg: mean −7.00303 + 1.325911 √x (+ 0.0571937 for boys), SD √0.0373218",
			"z-score and centile of a birth weight", Published, villar2016 + ".", in("birthWeightCurve")},
		{"Limits of the postnatal standard", "27+0 to 64+0 weeks of 7 days, postmenstrual age, ends in",
			"no z-score, centile, curve or forecast outside", Published, "The standard's own range (Villar 2015).", in("postnatalFrom")},
		{"Limits of the standard at birth", "24+0 to 32+6 weeks of 7 days, gestation, ends in",
			"no z-score or centile of size at birth outside", Published, "The standard's own range (Villar 2016).", in("birthFrom")},
		{"Normal distribution", "0.5 × erfc(−z over the root of two)", "centile of a z-score; probability in the forecast", Definition,
			"", in("phi")},
		{"z of a centile", "√2 × erf⁻¹((2 × centile − 100) / 100)", "centile curves", Definition, "", in("curvesOf")},
		{"Centile curves", "3, 10, 50, 90 and 97", "drawn behind the heads", CommonPractice,
			"The centiles that growth charts commonly draw.", in("curveCentiles")},
	}},
	{"Head growth", []Constant{
		{"Measuring error of two readings", "1.11 cm", "a smaller change is said to be within measuring error", Published,
			"0.4 cm × √2 × 1.96, with " + cheikh2013 + ".", in("withinError")},
		{"Distance of two readings", "5 civil days at least", "growth a week, from the newest reading that far back", Invented,
			"No published limit found; a shorter distance multiplies the error.", in("growthDays")},
		{"Spread of z in the forecast", "1.3 SD", "where a head may lie before any reading, and far from the last", OwnFit,
			"134 preterm infants, 969 readings of the life6mo extract (doi 10.1136/bmjopen-2022-067316), not infants on support.",
			in("filterSpread")},
		{"Pull to the centre", "0.97 a week of 7 days", "how much of z is kept from week to week", OwnFit, "The same fit.",
			in("filterPull", "forecast.later")},
		{"Error of one reading in the forecast", "0.40 cm", "how far a reading moves the forecast", Published, cheikh2013 + ".",
			in("filterError")},
		{"Probabilities of the forecast", "0.1, 0.5 and 0.9", "check from, expected, latest", Invented, "", in("forecastOf")},
		{"No forecast in the first days", "7 days of life", "heads may shrink in the first week", Invented,
			"In the data of the fit the change over week 1 ran from −0.27 (10th centile) to +1.10 cm (90th).", in("holdBackDays")},
		{"Forecast too old", "14 civil days after the latest reading", "no forecast then", Invented, "", in("staleDays")},
	}},
	{"Ages", []Constant{
		{"Postmenstrual age", "gestation + civil days since birth, in weeks of 7 days", "age; growth standards", Published,
			"Engle WA, American Academy of Pediatrics, Pediatrics 2004;114:1362-4.", in("gestation", "ageFact", "forecast.read",
				"forecast.reaches", "score", "HeadSeries.Weeks", "HeadSeries.cmAt")},
		{"Day of life", "the day of birth is day 0", "age", CommonPractice, "Units differ; some call it day 1. Said on every face.",
			in("ageFact")},
		{"Former name", "7 days of 24 h", "shown as 'formerly'", Invented, "", in("formerly")},
	}},
	{"Oxygen and indices", []Constant{
		{"Air", "21 %, exactly", "no upper bound of SpO2 in air", CommonPractice, "Blenders are marked 21 for room air, which is 20.95 %.",
			in("inAir")},
		{"S/F", "SpO2 % × 100 / FiO2 %", "index", Published, "Ratio as in Nobile S et al. 2019 (1,005 infants, 36 weeks).",
			in("indicesOf")},
		{"Severity score (set CPAP)", "set pressure × FiO2 % / 100", "index", Published,
			"Shah SI et al., Pediatr Pulmonol 2020;55:3304-11, with mean airway pressure; set pressure on CPAP as in Pillai MS et al., " +
				"J Trop Pediatr 2011;57:274-9.", in("indicesOf")},
		{"OSI (set CPAP)", "set pressure × FiO2 % / SpO2 %", "index, where the policy names it", Published,
			"Rawat M et al., Neonatology 2015;107:161-6, with mean airway pressure.", in("indicesOf")},
		{"Age of an index", "up to 2 intervals; 2 h where that is none",
			"an older SpO2, heart or breathing rate makes no index, meets no rule, counts below no target, and is told as old", Invented,
			"", in("freshFor")},
		{"Silverman-Andersen", "sum of chest, intercostal, xiphoid, nares and grunt, only when all are charted", "score", Published,
			"Silverman WA, Andersen DH, Pediatrics 1956;17:1-10.", in("silvermanFact")},
		{"Day of episodes and hours", "24 h up to the moment", "episodes of the day; hours under the interface", CommonPractice, "",
			in("episodesFact", "hoursFact")},
	}},
	{"Humidity and water", []Constant{
		{"Saturation vapour pressure (Wexler)",
			"ln Pa = −5800.2206 / T + 1.3914993 − 0.048640239 T + 4.1764768e-5 T² − 1.4452093e-8 T³ + 6.5459673 ln T, at T = °C + 273.15",
			"how much water a litre of warm gas can hold", Published,
			"Six-term form of Wexler as kept by Hyland and Wexler and the ASHRAE Handbook of Fundamentals (2017, chapter 1, eq. 6); " +
				"coefficients as printed in a humidity transmitter's user guide and in public psychrometric programs. Neither paper nor " +
				"handbook was opened; a published table from 20 to 40 °C is met to 0.1 mg/L.", in("saturationPa")},
		{"Humidity of saturated gas", "vapour pressure × molar mass / (gas constant × T), at T = °C + 273.15",
			"mg of water a litre of gas", Definition, "", in("absoluteHumidity")},
		{"Gas constant", "8.314462618 J/(mol K)", "humidity of saturated gas", Definition,
			"Exact in the SI; so in the CRC Handbook of Chemistry and Physics, section 1.", in("absoluteHumidity")},
		{"Molar mass of water", "18.01528 g/mol", "humidity of saturated gas", CommonPractice, "The figure in general use.",
			in("absoluteHumidity")},
		{"Gas as it is metered", "dry, at 294.15 K and 101325 Pa", "a litre at the flowmeter is more than a litre in the chamber",
			CommonPractice,
			"21 °C at sea level; the reference conditions of flowmeters differ: see the unit's own.",
			in("waterMlPerLitre", "pressurePa", "humidReading")},
		{"Units of water", "°C + 273.15; 1000 mg a mL; 60 s a minute", "when the water runs out", Definition, "",
			in("waterMlPerLitre", "runsOut")},
		{"Water that lasts", "more than 366 days of 24 × 3600 s", "said to be without an end", Invented, "", in("runsOut")},
		{"Rounding of the end", "down to 30 min of the unit's clock", "'check by eye'", Invented, "", in("halfHour")},
		{"Water due", "1 h before the end; overdue at the end, or 1 h after it was found low", "due list", Invented, "", in("waterDue")},
	}},
	{"Gastric tube", []Constant{
		{"Length (freeman-2012)", "3e-3 × g + 12 cm oral, + 13 cm nasal", "set beside the mark: a prompt, never an order", Published,
			"Freeman D et al., Adv Neonatal Care 2012 (218 films; the tube lay right on 74 %). Formulas differ by up to 2 cm.",
			in("estimate")},
		{"Weights of the source", "397 to 4131 g", "no estimate outside", Published, "Freeman 2012: the weights of its infants.",
			in("freemanLowG", "freemanHighG")},
	}},
	{"Oxygen sensor and set-up", []Constant{
		{"Reading of a point", "gas within 1 % of it", "which reading belongs to which point of the policy", Invented, "", in("NearGas")},
		{"Tolerance of the sensor", "|read − gas| ≤ so many vol % + so many 1e-2 of the gas", "calibrated or not, bounds in", Published,
			"Form of the limit in a published ventilator data sheet; the figures are the policy's.", in("Policy.sensorOK")},
		{"Before the circuit or the spell", "1 h", "oxygen sensor, seal, steps and surroundings count from then on", Invented, "",
			in("setupFact", "ticked")},
	}},
	{"Windows, spells and dues", []Constant{
		{"Settings before a spell", "30 min, both ends in", "what was set just before support began belongs to it; sites not seen since",
			Invented, "", in("beforeSpell")},
		{"Shift of a reading", "began at least 1 h before",
			"start of the window where nothing was signed; a sheet of paper of the last hour is the next shift's, to its end", Invented,
			"", in("minShift")},
		{"Overdue", "2 intervals after it was last done", "observations, tube, oxygen sensor, cares", Invented, "", in("counted")},
		{"Overdue under a plan", "2 h after due, where the policy says none", "rotation and skin", Invented, "", in("spaced")},
		{"Task overdue", "1 h after its time", "due list", Invented, "", in("dues")},
		{"Order of the due list", "overdue, then due, then deferred", "due list", Invented, "", in("dues")},
		{"Shifts looked at", "of today and 2 days before or after", "start of the window; when paper is destroyed", Definition, "",
			in("Policy.shiftStart", "Policy.ShiftEnd")},
		{"Order of skin findings", "for sorting only; stages, unstageable, deep and mucosal as named there, blanching before them",
			"worst site; worse or better", Published,
			"NPIAP 2016 staging, as given in the MSD Manual: numbers do not imply progression; mucosal injuries are not staged.",
			in("Findings")},
	}},
	{"What to look at first", []Constant{
		{"Well below the target", "5 % or more below the lower bound", "one SpO2 alone is enough", Invented, "", in("wellBelow")},
		{"After support stopped", "24 h", "SpO2 still held to its target", Invented, "", in("look.judges")},
		{"Age of a chamber temperature", "up to 2 intervals of looking at it", "out of tolerance", Invented, "", in("look.warmth")},
		{"Notes to be read out", "48 h at most", "until told at a handover", Invented, "", in("readOutFor")},
		{"Not confirmed at handover", "up to 6 h after it", "told for so long", Invented, "", in("confirmWithin")},
		{"Outlook and taking over", "stable, watcher, unstable; if-then; read-back",
			"severity and contingencies as charted, and what the incoming nurse says back",
			Published, "I-PASS: Starmer AJ et al., N Engl J Med 2014;371:1803-12. The words are charted, never computed.", in("Kinds")},
		{"Age of an outlook", "24 h", "an older one is told as old", Invented, "", in("outlookHolds")},
		{"Doubts", "weeks of 7 days of 24 h; percent of 100", "a reading that is asked about; the limits are the policy's", Definition, "",
			in("headDoubts", "weightDoubts")},
	}},
	{"Look-alikes", []Constant{
		{"Names alike", "distance up to 1; up to 2 where both have 7 letters or more", "infants who could be mistaken for each other",
			Invented,
			"Distinct names and warnings are advised (Joint Commission NPSG.01.01.01); the limits are our own.", in("traits.like")},
		{"Numbers alike", "distance up to 1", "the same", Invented, "", in("traits.like")},
	}},
	{"Arithmetic", []Constant{
		{"What came to be known", "at most 2 steps from a retraction to what was charted; halves of 2",
			"a record as it stood before each amendment; the moment by which time alone ended what was so", Definition, "",
			in("Course.only", "passed")},
		{"Findings in a warning", "3", "of a damaged record, the rest is counted", Invented, "", in("mostFindings")},
		{"Silence of a record in use", "24 h", "an entry that is taken later than that after the newest, while an infant is admitted, " +
			"puts the clock in doubt", Invented, "", in("longestSilence")},
		{"Digits", "34 in exact arithmetic, 60 while rounding, exponents to 1000, at most 15 charted", "every computed figure", Invented,
			"", in("exact", "Rounded", "maxDigits")},
		{"Decimals shown", "2", "indices, mean FiO2, growth a week, hours, z-score", Invented, "",
			in("fio2Sum.mean", "indicesOf", "headFact", "hoursOf", "score")},
		{"Decimals shown", "1", "centile, estimate of a length", Invented, "", in("score", "estimate")},
		{"Decimals drawn", "2", "centile curves", Invented, "", in("HeadSeries.cmAt")},
		{"Days drawn", "a point every 7 days; 7 days around the readings and the forecast", "head chart", Invented, "",
			in("curvesOf", "aroundDays")},
		{"Percent, week, kilogram, hour", "100 %, 7 days, 1000 g, 1 h", "units", Definition, "",
			in("score", "headFact", "weightScore", "hoursOf")},
		{"Base of numbers", "10", "decimals as charted", Definition, "", in("plainDecimal", "Decimal.AppendText", "Decimal.Cmp")},
		{"Day", "24 h; 86400 s", "whole days of an interval; civil days", Definition, "", in("Every.Days", "civil", "Date.utc")},
		{"Durations", "days of 24 h, 1 h, 1 min, 1 s; 365 days at most", "intervals as written, in whole minutes", Invented, "",
			in("ParseDuration", "ParseEvery", "Every.String")},
		{"Years", "1900 to 2999", "a moment outside is a slip", Invented, "", in("ParseMoment")},
		{"Clock change", "offsets 24 h before and after", "local times that a change skips or repeats", Definition, "",
			in("LocalTime", "around")},
		{"Ranges of charted fields", "as the entry schema prints them", "what is refused as a slip of the hand", Invented,
			"Plausibility, not physiology: wider than any sick infant.", in("Kinds")},
	}},
}
