package handover_test

import (
	"testing"

	"cotline/handover"
	"cotline/handover/entry"
)

// tubeAt is an oral or nasal tube in an infant of a weight.
func tubeAt(t *testing.T, route, grams string) *handover.Handover {
	t.Helper()
	return compiled(t, readPolicy(t, `{}`), admitted+`
24 07:00 weight weightG=`+grams+`
24 08:00 tube action=placed markCm=15.0 route=`+route, "24 09:00")
}

// Freeman D et al., Adv Neonatal Care 2012: oral 3 × kg + 12 cm, nasal 3 × kg + 13.
// The formulas of Cordero and Kato, which differ by up to 2 cm, are not shown.
func TestT41_TubeLengthAt800g(t *testing.T) {
	holds(t, tubeAt(t, "oral", "800"), "tubes.feeding.estimateCm = 14.4\ntubes.feeding.estimateBy = freeman-2012")
	holds(t, tubeAt(t, "nasal", "800"), "tubes.feeding.estimateCm = 15.4")
}

// The source's infants weighed 397 to 4131 g; at its ends there is an estimate.
func TestT43_WeightOutsideTheSource(t *testing.T) {
	const none = "tubes.feeding.estimateCm = left out: weight outside the range of the source, 397 to 4131 g\ntubes.feeding.estimateBy = -"
	for grams, want := range map[string]string{
		"350": none, "396.9": none, "4131.1": none, "4200": none,
		"397":  "tubes.feeding.estimateCm = 13.2", // 3 × 0.397 + 12 = 13.191
		"4131": "tubes.feeding.estimateCm = 24.4", // 3 × 4.131 + 12 = 24.393
	} {
		holds(t, tubeAt(t, "oral", grams), want)
	}
}

// Grams, never kilograms: nothing is guessed from the size of a number, and no
// field is in kilograms.
func TestT44_GramsAndKilograms(t *testing.T) {
	refused(t, "weight", `"weightG":1.2`, "weightG", entry.CodeRange)
	refused(t, "admission", `"born":"2026-10-24","cot":"7","mrn":"1","birthWeightG":1.2`, "birthWeightG", entry.CodeRange)
	if diff := refusal(t, "weight", `"weightKg":1200`); len(diff) != 2 { // unknown, and the right one missing
		t.Error(diff)
	}
}

func TestT45_TubeLengthAt2kg(t *testing.T) {
	holds(t, tubeAt(t, "oral", "2000"), "tubes.feeding.estimateCm = 18.0")
	holds(t, tubeAt(t, "nasal", "2000"), "tubes.feeding.estimateCm = 19.0")
}

// More of the same table, in cm: rounded half away from zero, once.
func TestFreemanTable(t *testing.T) {
	for grams, want := range map[string][2]string{
		"500": {"13.5", "14.5"}, "749": {"14.2", "15.2"}, "750": {"14.3", "15.3"}, "1000": {"15.0", "16.0"}, "1200": {"15.6", "16.6"},
		"1500": {"16.5", "17.5"},
	} {
		holds(t, tubeAt(t, "oral", grams), "tubes.feeding.estimateCm = "+want[0])
		holds(t, tubeAt(t, "nasal", grams), "tubes.feeding.estimateCm = "+want[1])
	}
}

// checkOf is one reading of the oxygen sensor on a policy of 2.5 volume percent
// and 2.5 % of the gas: the form of ISO 80601-2-55, from memory; the same form
// stands in a published ventilator data sheet.
func checkOf(t *testing.T, points, readings string) *handover.Handover {
	t.Helper()
	return compiled(t, readPolicy(t, `{"oxygenSensor":{"points":`+points+`}}`), onCPAP+"24 05:30 calibration points="+readings, "24 08:00")
}

// 2.5 + 2.5 % of 21, 30 and 100 is 3.025, 3.25 and 5: the limit itself is in.
func TestT62_SensorLimits(t *testing.T) {
	for gas, ends := range map[string][4]string{ // just out, in, in, just out
		"21": {"17.9749", "17.975", "24.025", "24.0251"}, "30": {"26.7499", "26.75", "33.25", "33.2501"},
		"100": {"94.9999", "95", "105.0", "105.0001"},
	} {
		for i, read := range ends {
			want := map[bool]string{true: "true", false: "false"}[i == 1 || i == 2]
			holds(t, checkOf(t, "["+gas+"]", gas+":"+read), "setup.calibrated = "+want+"\nsetup.points."+gas+".ok = "+want)
		}
	}
}

// Air is 20.95 %: 2.5 + 2.5 % of it is 3.02375, up to 23.97375.
func TestT63_AirReadHigh(t *testing.T) {
	holds(t, checkOf(t, "[21]", "20.95:24.0"), "setup.calibrated = false")
	holds(t, checkOf(t, "[21]", "20.95:23.9737"), "setup.calibrated = true")
	holds(t, checkOf(t, "[21]", "20.95:23.9738"), "setup.calibrated = false")
}

func TestT64_OxygenReadLow(t *testing.T) {
	holds(t, checkOf(t, "[100]", "100:95.0"), "setup.calibrated = true")
	holds(t, checkOf(t, "[100]", "100:94.9"), "setup.calibrated = false")
}

// Gas saturated at 37 °C leaves 1 - 6.281 ÷ 101.325 = 0.938 of the pressure to dry
// gas: a sound sensor reads 28.1 of 30, and 93.8 of 100, which fails. Beside a
// reading that failed low stands what humid gas would read.
func TestT65_SensorInHumidGas(t *testing.T) {
	holds(t, checkOf(t, "[30]", "30:26.7"), "setup.points.30.ok = false\nsetup.points.30.humidPercent = 28.1")
	holds(t, checkOf(t, "[100]", "100:93.8"), "setup.points.100.ok = false\nsetup.points.100.humidPercent = 93.8")
	holds(t, checkOf(t, "[100]", "100:95"), "setup.points.100.ok = true\nsetup.points.100.humidPercent = -")
	holds(t, checkOf(t, "[30]", "30:33.3"), "setup.points.30.ok = false\nsetup.points.30.humidPercent = -") // failed high
}

// The unit's policy is 8 h: 9 h 20 min after the last rotation it is 1 h 20 min over.
func TestT79_RotationOverdue(t *testing.T) {
	p := readPolicy(t, `{"every":{"rotationDue":"8h","rotationOverdue":"8h"}}`)
	h := compiled(t, p, onCPAP+`
24 06:00 interface type=mask
#7 24 09:00 interface type=prongs reason=rotation`, "24 18:20")
	holds(t, h, `
		rotation.last.source = #7 24 09:00 n
		rotation.overdueAt = 24 17:00
		rotation.state = overdue
		due.rotation = overdue 24 17:00`)
}

// Nobody charted a rotation: there is none, rather than one 0 h ago.
func TestT80_NoRotationCharted(t *testing.T) {
	p := readPolicy(t, `{}`)
	holds(t, compiled(t, p, onCPAP, "24 18:20"), `
		rotation.dueAt = not charted
		rotation.state = off
		interface = not charted
		due.rotation = -
		only rotation.last`)
	holds(t, compiled(t, p, onCPAP+"24 09:00 interface type=mask reason=first", "24 10:00"), `
		rotation.dueAt = 24 13:00
		rotation.state = not-due
		only rotation.last`)
}
