package handover_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/handover"
	"cotline/handover/entry"
)

// The tests named TestT… hold the tool to one row each of a list of published
// facts and worked numbers. The source stands beside each; "from memory" says
// that it was recalled, not opened. Rows of the list that are not here ask for
// what the tool does not compute: skin condition totals (T01 to T04), the score of
// Downes (T16 to T18), the oxygenation index from blood gas (T25), other humidity
// formulas and rain-out (T27, T29 to T32), blending and cylinders (T33 to T40),
// other length formulas (T41 and T42 in part), a verdict on pH (T46), due date and
// corrected age (T47 to T53 in part), and what a gauge should read (T66 to T68).

// spo2Of is a reading of SpO2 at one set FiO2 with one target.
func spo2Of(spo2, fio2, low, high string) string {
	return onCPAP + `
24 06:00 settings fio2Percent=` + fio2 + ` spo2LowPercent=` + low + ` spo2HighPercent=` + high + `
24 09:00 observations spo2Percent=` + spo2
}

// Target 91 to 95 %: NICE NG124 (2019), QS193 statement 4; both ends are in it.
func TestT05_SpO2AtTheUpperEndIsInTarget(t *testing.T) {
	holds(t, compiled(t, readPolicy(t, `{}`), spo2Of("95", "25", "91", "95"), "24 10:00"), `
		spo2.count = 1
		spo2.inTarget = 1
		spo2.above = 0`)
}

// Target 90 to 94 %: European consensus 2022 (Sweet DG et al., Neonatology
// 2023;120:3-23); the numbers from memory.
func TestT06_SpO2AboveTarget(t *testing.T) {
	holds(t, compiled(t, readPolicy(t, `{}`), spo2Of("95", "25", "90", "94"), "24 10:00"), `
		spo2.count = 1
		spo2.inTarget = 0
		spo2.above = 1`)
}

// Common practice: no upper limit in air, for there is no oxygen to turn down.
func TestT07_NoUpperBoundInAir(t *testing.T) {
	p := readPolicy(t, `{}`)
	holds(t, compiled(t, p, spo2Of("99", "21", "90", "94"), "24 10:00"), "spo2.inTarget = 1\nspo2.above = 0")
	holds(t, compiled(t, p, spo2Of("99", "21.0", "90", "94"), "24 10:00"), "spo2.inTarget = 1\nspo2.above = 0")
	holds(t, compiled(t, p, spo2Of("99", "22", "90", "94"), "24 10:00"), "spo2.inTarget = 0\nspo2.above = 1")
}

// A unit's own rule on FiO2 and pressure. T08, T09: surfactant considered at FiO2
// over 0.30 on CPAP of 6 or more, as quoted in Eur J Pediatr 2020,
// 10.1007/s00431-020-03744-y, which calls the cut-off arbitrary. T10, T11:
// criteria of RDS-NExT, J Perinatol 2023, 10.1038/s41372-023-01690-9, table 1.
// The tool shows the sentence and whether it is met, never what to do.
func thresholdMet(t *testing.T, all, fio2 string) string {
	t.Helper()
	p := readPolicy(t, `{"thresholds":[{"name":"rule","all":`+all+`,"source":"the unit"}]}`)
	h := compiled(t, p, onCPAP+"24 06:00 settings pressureCmH2O=6 fio2Percent="+fio2, "24 06:00")
	return valueAt(facts(h), "thresholds.0.met")
}

const overThirtyOnSix = `[{"field":"fio2Percent","is":">","value":30},{"field":"pressureCmH2O","is":">=","value":6}]`

func TestT08_FiO2AtTheLimitIsNotOverIt(t *testing.T) {
	if got := thresholdMet(t, overThirtyOnSix, "30"); got != "false" {
		t.Error(got)
	}
}

func TestT09_FiO2OverTheLimit(t *testing.T) {
	if got := thresholdMet(t, overThirtyOnSix, "31"); got != "true" {
		t.Error(got)
	}
}

func TestT10_FiO2AtALimitThatIsIn(t *testing.T) {
	if got := thresholdMet(t, `[{"field":"fio2Percent","is":">=","value":30}]`, "30"); got != "true" {
		t.Error(got)
	}
}

func TestT11_PressureUnderTheLimit(t *testing.T) {
	if got := thresholdMet(t, `[{"field":"pressureCmH2O","is":">=","value":7}]`, "30"); got != "false" {
		t.Error(got)
	}
}

// refusal is why one entry is refused: path and code of each fault.
func refusal(t *testing.T, kind, own string) []told {
	t.Helper()
	_, issues := readEntry(entryLine(1, "a", kind, noon, own))
	return tell(issues)
}

func refused(t *testing.T, kind, own, path string, code entry.Code) {
	t.Helper()
	if diff := cmp.Diff([]told{{path, code}}, refusal(t, kind, own)); diff != "" {
		t.Errorf("%s %s (-want +got)\n%s", kind, own, diff)
	}
}

// The field is a percentage: a fraction in it is refused and never rescaled, and a
// percentage cannot get into a field of fractions, for there is none.
func TestT12_FiO2IsNeverRescaled(t *testing.T) {
	refused(t, "settings", `"fio2Percent":0.30`, "fio2Percent", entry.CodeRange)
	refused(t, "settings", `"fio2Fraction":30`, "fio2Fraction", entry.CodeUnknownField)
}

// There is no gas below air: 21 % as it is rounded at the bedside.
func TestT13_FiO2BelowAir(t *testing.T) {
	refused(t, "settings", `"fio2Percent":20`, "fio2Percent", entry.CodeRange)
	refused(t, "settings", `"fio2Percent":20.9`, "fio2Percent", entry.CodeRange)
}

// Silverman WA, Andersen DH, Pediatrics 1956;17:1-10, items as in an AWHONN-derived
// toolkit; a published exam item with a total of 5. A respiratory rate of 86 is no
// item of the score.
func TestT14_SilvermanAndersen(t *testing.T) {
	h := compiled(t, readPolicy(t, `{}`), onCPAP+"24 07:00 observations respRateBpm=86 silverman=1:0:0:2:2", "24 08:00")
	holds(t, h, "silverman.total = 5\nobservations.respRateBpm = 86")
}

// The same; 7 to 10 is severe, which is for people to say.
func TestT15_SilvermanAndersenAtItsMost(t *testing.T) {
	h := compiled(t, readPolicy(t, `{}`), onCPAP+"24 07:00 observations silverman=2:2:2:2:2", "24 08:00")
	holds(t, h, "silverman.total = 10")
}

func TestSilvermanNeedsAllFiveItems(t *testing.T) {
	h := compiled(t, readPolicy(t, `{}`), onCPAP+"24 07:00 observations silverman=2:2:2:2:2\n24 07:30 observations silverman=2:2::2:2",
		"24 08:00")
	holds(t, h, "silverman = left out: not all five items were charted")
}

// indicesAt are S/F, severity and OSI at what is set and seen.
func indicesAt(t *testing.T, pressure, fio2, spo2 string) *handover.Handover {
	t.Helper()
	return compiled(t, readPolicy(t, `{"indices":["sf","severity","osi"]}`), onCPAP+
		"24 06:00 settings pressureCmH2O="+pressure+" fio2Percent="+fio2+"\n24 07:00 observations spo2Percent="+spo2, "24 08:00")
}

// Mean airway pressure × FiO2: Shah SI et al., Pediatr Pulmonol 2020;55:3304-11.
// On CPAP the set pressure stands in.
func TestT19_Severity(t *testing.T) {
	holds(t, indicesAt(t, "6", "30", "93"), "indices.severity = 1.80")
}

// CPAP × FiO2 of 1.28 at the start: Pillai MS et al., J Trop Pediatr 2011;57:274-9.
func TestT20_SeverityOnEitherSideOfALimit(t *testing.T) {
	holds(t, indicesAt(t, "5", "25", "93"), "indices.severity = 1.25")
	holds(t, indicesAt(t, "5", "26", "93"), "indices.severity = 1.30")
}

// 2 to 5 is moderate by Shah 2020. The tool names no band; the ends are exact.
func TestT21_SeverityAtTheEndsOfABand(t *testing.T) {
	holds(t, indicesAt(t, "5", "40", "93"), "indices.severity = 2.00")
	holds(t, indicesAt(t, "10", "50", "93"), "indices.severity = 5.00")
}

// SpO2 % ÷ FiO2 fraction: Nobile S et al. 2019.
func TestT22_SF(t *testing.T) { holds(t, indicesAt(t, "6", "30", "93"), "indices.sf = 310.00") }
func TestT23_SF(t *testing.T) { holds(t, indicesAt(t, "6", "21", "97"), "indices.sf = 461.90") }

// Severity × 100 ÷ SpO2 %: Rawat M et al., Neonatology 2015;107:161-6. 6 × 0.30 ×
// 100 ÷ 93 is 1.935…
func TestT24_OSI(t *testing.T) { holds(t, indicesAt(t, "6", "30", "93"), "indices.osi = 1.94") }

func TestT26_AllThree(t *testing.T) {
	holds(t, indicesAt(t, "8", "40", "90"), "indices.severity = 3.20\nindices.osi = 3.56\nindices.sf = 225.00")
}
