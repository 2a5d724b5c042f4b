package handover_test

import (
	"testing"

	"cotline/handover"
	"cotline/handover/entry"
)

// ages are those of an infant born on a day, by the unit's clock, read at noon.
func ages(t *testing.T, gestation, born, at string) *handover.Handover {
	t.Helper()
	own := `"born":"` + born + `","cot":"7","mrn":"1","gestation":"` + gestation + `"`
	admission := mustEntry(t, entryLine(1, "a", "admission", born+"T12:00:00Z", own))
	admission.Charted = admission.At
	return compile(t, readPolicy(t, `{}`), []*entry.Entry{admission}, at+"T12:00:00+00:00")
}

// Postmenstrual age is gestation and civil days since birth: Engle WA, Pediatrics
// 2004;114:1362-4. T47's example is from memory, its sum computed. The expected
// date of delivery and the corrected age of T48, T52 and T53 are not computed: a
// bare corrected age is read in two ways.
func TestT47_PostmenstrualAge(t *testing.T) {
	holds(t, ages(t, "33+1", "2026-01-01", "2026-03-17"), "age.postmenstrual = 43+6\nage.dayOfLife = 75")
}

func TestT48_PostmenstrualAge(t *testing.T) {
	holds(t, ages(t, "27+3", "2026-10-01", "2026-11-25"), "age.postmenstrual = 35+2\nage.dayOfLife = 55")
}

func TestT49_LeapDay(t *testing.T) {
	holds(t, ages(t, "28+0", "2028-02-20", "2028-03-01"), "age.postmenstrual = 29+3\nage.dayOfLife = 10")
}

// 25 weeks and 5 days is never 26: weeks are completed ones. With days unknown,
// completed weeks and whole weeks since birth add up, and it says about.
func TestT50_CompletedWeeks(t *testing.T) {
	holds(t, ages(t, "25+5", "2026-11-25", "2026-11-25"),
		"age.gestation = 25+5\nage.postmenstrual = 25+5\nage.dayOfLife = 0\nage.about = false")
	holds(t, ages(t, "25", "2026-11-12", "2026-11-25"), "age.gestation = 25\nage.postmenstrual = 26\nage.dayOfLife = 13\nage.about = true")
	holds(t, ages(t, "25", "2026-11-11", "2026-11-25"), "age.postmenstrual = 27\nage.dayOfLife = 14")
}

// Days of gestation are 0 to 6: 27+7 is no 28+0.
func TestT51_SevenDaysAreNoDays(t *testing.T) {
	refused(t, "admission", `"born":"2026-10-24","cot":"7","mrn":"1","gestation":"27+7"`, "gestation", entry.CodeFormat)
}

func TestT53_PostmenstrualAgePastTerm(t *testing.T) {
	holds(t, ages(t, "24+6", "2026-08-01", "2026-11-25"), "age.postmenstrual = 41+3\nage.dayOfLife = 116")
}

// Days are civil: twenty minutes over midnight are a day. The day of birth is 0 here.
func TestT54_BornBeforeMidnight(t *testing.T) {
	h := compiled(t, readPolicy(t, `{}`), `23 23:50 admission born="23 23:50" cot=7 mrn=1 gestation=25+5`, "24 00:10")
	holds(t, h, "age.dayOfLife = 1\nage.postmenstrual = 25+6")
}

// Without gestation there is no postmenstrual age.
func TestNoGestationNoPostmenstrualAge(t *testing.T) {
	h := compiled(t, readPolicy(t, `{}`), `23 12:00 admission born=2026-10-23 cot=7 mrn=1`, "24 12:00")
	holds(t, h, "age.dayOfLife = 1\nage.gestation = -\nage.postmenstrual = -")
}

// The birth date is the civil day of the moment in the unit's zone, whatever
// offset it was charted with.
func TestBornInAnotherOffset(t *testing.T) {
	h := compiled(t, readPolicy(t, `{}`), `24 06:00 admission born=2026-10-24T09:30:00+10:00 cot=7 mrn=1`, "24 12:00")
	holds(t, h, "age.dayOfLife = 0")
	h = compiled(t, readPolicy(t, `{}`), `24 06:00 admission born=2026-10-24T08:30:00+10:00 cot=7 mrn=1`, "24 12:00")
	holds(t, h, "age.dayOfLife = 1") // 23:30 on the 23rd in Dublin
}
