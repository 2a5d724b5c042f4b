package handover_test

import "testing"

func TestAttentionOverdue(t *testing.T) {
	const quiet = `{"every":{"observations":"none","humidifier":"none","head":"none","care":{"mouth-care":"2h"}},` +
		`"rotation":{"types":"none"}}`
	attentionRules(t, "overdue", quiet, onCPAP, []attentionRule{
		{"nothing", "24 06:00 skin sites=bridge:intact", "24 08:00", ""},
		{"due is not overdue", "", "24 09:59", ""},
		{"of the hands, longest overdue first", "24 05:00 interface type=mask\n24 06:30 skin sites=bridge:intact,philtrum:intact," +
			"cheek-left:intact,cheek-right:intact", "24 12:30", "now OVERDUE mouth care, skin | due |"},
		{"what is to be known", "24 06:00 care what=mouth-care\n23 06:00 circuit action=fitted\n24 06:00 plan what=circuit every=none " +
			"reason=x\n24 06:00 task text=\"eye test\" dueAt=\"24 06:30\"", "24 07:30", "know overdue “eye test” | due |"},
		{"a civil day, on the day after", "23 06:00 plan what=circuit every=1d reason=wet\n22 06:00 circuit action=fitted\n" +
			"24 07:00 care what=mouth-care", "24 08:00", "know overdue circuit | due |"},
		{"and not on the day itself", "23 06:00 plan what=circuit every=1d reason=wet\n23 06:00 circuit action=fitted\n" +
			"24 07:00 care what=mouth-care", "24 08:00", ""},
		{"deferred", "24 08:00 deferral what=care care=mouth-care until=\"24 12:00\" reason=asleep", "24 11:00", ""},
	})
	attentionRules(t, "overdue", `{"every":{"observations":"2h","head":"none"},"rotation":{"types":"none"}}`, onCPAP, []attentionRule{
		{"observations, and the humidifier", "", "24 14:00", "now OVERDUE observations | due |\nknow overdue humidifier | due |"},
		{"a minute before", "24 06:00 humidifier state=off", "24 09:59", ""},
	})
}

func TestAttentionWarmth(t *testing.T) {
	const on = "24 06:00 humidifier state=on\n"
	attentionRules(t, "warmth", "", onCPAP, []attentionRule{
		{"too cold", on + "#5 24 07:00 humidifier chamberC=31.0", "24 08:00",
			"now CHAMBER 31.0 °C, 07:00 | humidifier.chamberC | #5 24 07:00"},
		{"at the bound", on + "24 07:00 humidifier chamberC=36.0", "24 08:00", ""},
		{"two intervals old", on + "#5 24 07:00 humidifier chamberC=31.0", "24 15:00",
			"now CHAMBER 31.0 °C, 07:00 | humidifier.chamberC | #5 24 07:00"},
		{"older", on + "24 07:00 humidifier chamberC=31.0", "24 15:01", ""},
		{"older, no interval by plan", on + "24 07:00 plan what=humidifier every=none reason=x\n#5 24 07:00 humidifier chamberC=31.0",
			"24 15:01", "now CHAMBER 31.0 °C, 07:00 | humidifier.chamberC | #5 24 07:00"},
		{"warming up", "24 07:00 humidifier state=on chamberC=31.0", "24 07:20", ""},
		{"water low", on + "#5 24 07:00 humidifier water=low", "24 08:00", "now WATER LOW, 07:00 | humidifier.water | #5 24 07:00"},
		{"low, the latest", on + "24 06:50 humidifier water=low\n#5 24 07:00 humidifier water=low", "24 08:00",
			"now WATER LOW, 07:00 | humidifier.water | #5 24 07:00"},
		{"low, and changed", on + "24 06:50 humidifier water=low\n24 07:00 humidifier water=changed", "24 08:00", ""},
		{"off", on + "24 07:00 humidifier chamberC=31 water=low\n24 07:10 humidifier state=off", "24 08:00", ""},
		{"run out", "24 06:00 settings flowLMin=8\n24 06:00 humidifier state=ready chamberC=37 water=changed waterMl=50", "24 09:00",
			"now WATER RAN OUT about 08:00 | humidifier.waterEmptyAt |"},
		{"not yet", "24 06:00 settings flowLMin=8\n24 06:00 humidifier state=ready chamberC=37 water=changed waterMl=50", "24 07:59", ""},
	})
}

func TestAttentionSensor(t *testing.T) {
	const fitted = onCPAP + "24 05:00 circuit action=fitted\n"
	attentionRules(t, "sensor", `{"safety":["bag and mask","suction"]}`, fitted, []attentionRule{
		{"failed", "#5 24 05:10 calibration points=21:21,100:90", "24 09:00",
			"now OXYGEN SENSOR reads 90 in 100 %, 05:10 | setup.calibrated | #5 24 05:10"},
		{"the latest that failed", "24 05:10 calibration points=21:30,100:90\n#6 24 05:20 calibration points=21:29", "24 09:00",
			"now OXYGEN SENSOR reads 29 in 21 %, 05:20 | setup.calibrated | #6 24 05:20"},
		{"passed", "24 05:10 calibration points=21:21,100:99", "24 09:00", ""},
		{"seal not held", "#5 24 08:00 seal held=false", "24 09:00", "now SEAL NOT HELD, 08:00 | setup.sealHeld | #5 24 08:00"},
		{"from before the window", "#5 24 07:00 seal held=false", "24 09:00", "know seal not held, 07:00 | setup.sealHeld | #5 24 07:00"},
		{"held since", "24 08:00 seal held=false\n24 08:10 seal held=true", "24 09:00", ""},
		{"seen sealed since", "24 08:00 seal held=false\n24 08:10 interface type=mask fit=sealed", "24 09:00", ""},
		{"seen leaking since", "#5 24 08:00 seal held=false\n24 08:10 interface type=mask fit=leak", "24 09:00",
			"now SEAL NOT HELD, 08:00 | setup.sealHeld | #5 24 08:00"},
		{"of an earlier circuit", "24 08:00 seal held=false\n24 08:10 circuit action=fitted", "24 09:00", ""},
		{"safety check not ok", "#5 24 08:00 safety items=\"bag and mask:true,suction:false\"", "24 09:00",
			"now SAFETY CHECK not ok: suction, 08:00 | safety | #5 24 08:00"},
		{"until the next", "24 08:00 safety items=suction:false\n24 08:10 safety items=\"bag and mask:true\"", "24 09:00", ""},
	})
}

func TestAttentionBonnetAndRule(t *testing.T) {
	attentionRules(t, "bonnet", `{"sizes":{"bonnet":[{"name":"A","fromCm":20,"toCm":22}]}}`, onCPAP, []attentionRule{
		{"fits", "24 06:00 head circumferenceCm=22\n24 06:00 bonnet action=fitted size=A", "24 09:00", ""},
		{"does not", "24 06:00 head circumferenceCm=22.1\n24 06:00 bonnet action=fitted size=A", "24 09:00",
			"know head outside the range of bonnet A | bonnet.fits |"},
		{"tight", "24 06:00 head circumferenceCm=21\n24 06:00 bonnet action=fitted size=A\n24 07:00 bonnet action=tight", "24 09:00",
			"know bonnet tight, 07:00 | bonnet |"},
		{"tight, and fitted again", "24 06:00 head circumferenceCm=21\n24 07:00 bonnet action=tight\n24 08:00 bonnet action=fitted size=A",
			"24 09:00", ""},
		{"soiled", "24 06:00 head circumferenceCm=21\n24 06:00 bonnet action=fitted size=A\n24 07:00 bonnet action=soiled",
			"24 09:00", ""},
	})
	attentionRules(t, "rule", `{"thresholds":[{"name":"much","all":[{"field":"fio2Percent","is":">","value":35}],"source":"house rule `+
		`1"},{"name":"very much","first":true,"all":[{"field":"fio2Percent","is":">","value":40}],"source":"house rule 2"},
		{"name":"low","all":[{"field":"spo2Percent","is":"<","value":85}],"source":"house rule 3"}]}`, onCPAP, []attentionRule{
		{"met", "24 06:00 settings fio2Percent=36", "24 09:00", "know much (house rule 1) | thresholds |"},
		{"met, to be looked at first", "24 06:00 settings fio2Percent=41", "24 09:00",
			"now very much (house rule 2) | thresholds |\nknow much (house rule 1) | thresholds |"},
		{"not met", "24 06:00 settings fio2Percent=35", "24 09:00", ""},
		{"an SpO2 of 0 is none", "24 08:30 observations spo2Percent=0", "24 09:00", ""},
		{"observed before the spell", "24 05:30 observations spo2Percent=80", "24 07:00", ""},
	})
}

func TestAttentionReadOut(t *testing.T) {
	const note = "#5 24 04:00 note text=\"look at it\" readOut=true\n"
	const told = "24 05:10 acceptance handover=#20 infants=a\n"
	const row = "know READ OUT “look at it” | notes | #5 24 04:00"
	attentionRules(t, "read-out", "", admitted, []attentionRule{
		{"until told", note, "24 09:00", row},
		{"told", note + "#20 24 05:00 handover to=m asOf=\"24 04:50\" infants=a\n" + told, "24 09:00", ""},
		{"as of that very moment", note + "#20 24 05:00 handover to=m asOf=\"24 04:00\" infants=a\n" + told, "24 09:00", ""},
		{"as of before it", note + "#20 24 05:00 handover to=m asOf=\"24 03:59\" infants=a\n" + told, "24 09:00", row},
		{"written down after it", "#5 24 04:00 note text=\"look at it\" readOut=true charted=\"24 04:51\"\n" +
			"#20 24 05:00 handover to=m asOf=\"24 04:50\" infants=a\n" + told, "24 09:00", row},
		{"not accepted", note + "#20 24 05:00 handover to=m asOf=\"24 04:50\" infants=a", "24 09:00", row},
		{"for a break", note + "#20 24 05:00 handover to=m asOf=\"24 04:50\" infants=a cover=true\n" + told, "24 09:00", row},
		{"two days", "#5 22 09:00 note text=\"look at it\" readOut=true", "24 09:00", "know READ OUT “look at it” | notes | #5 22 09:00"},
		{"older", "22 09:00 note text=\"look at it\" readOut=true", "24 09:01", ""},
		{"not to be read out", "24 04:00 note text=x", "24 09:00", ""},
	})
}

func TestAttentionMissing(t *testing.T) {
	attentionRules(t, "missing", "", onCPAP, []attentionRule{
		{"what support is set by, and the rest", "", "24 09:00", `now NOT CHARTED set pressure | settings.pressureCmH2O |
now NOT CHARTED set FiO2 | settings.fio2Percent |
now NOT CHARTED lower bound of the SpO2 target | settings.spo2LowPercent |
now NOT CHARTED interface | interface |
know 17 other gaps in what is charted | gaps |`},
		{"the rest alone", "24 06:00 settings pressureCmH2O=6 fio2Percent=30 spo2LowPercent=90\n24 06:00 interface type=mask", "24 09:00",
			"know 17 gaps in what is charted | gaps |"},
	})
}

func TestAttentionRest(t *testing.T) {
	const signed = "#20 24 05:00 handover to=m asOf=\"24 04:50\" infants=a\n"
	attentionRules(t, "late", "", admitted, []attentionRule{
		{"written late", signed + "24 05:10 acceptance handover=#20 infants=a\n24 04:00 weight weightG=900 charted=\"24 06:00\"",
			"24 09:00", "know 1 entry arrived or written late | late |"},
		{"none", signed + "24 05:10 acceptance handover=#20 infants=a\n24 04:00 weight weightG=900", "24 09:00", ""},
	})
	attentionRules(t, "old", `{"every":{"observations":"2h"}}`, onCPAP, []attentionRule{
		{"outlook of before support", "24 05:00 outlook severity=stable", "24 06:30", "know 1 fact is old | old |"},
		{"told as overdue", "24 06:00 observations spo2Percent=93", "24 10:01", ""},
		{"done since", "24 06:00 observations spo2Percent=93 heartRateBpm=150\n24 08:00 observations heartRateBpm=150", "24 10:01",
			"know 1 fact is old | old |"},
		{"not yet", "24 06:00 outlook severity=stable\n24 06:00 observations spo2Percent=93", "24 10:00", ""},
	})
	attentionRules(t, "handing-over", "", onCPAP, []attentionRule{
		{"not accepted", "#20 24 07:00 handover to=m asOf=\"24 06:50\" infants=a", "24 09:00",
			"know handed over to m 07:00, not accepted | handedOver |"},
		{"accepted, not all confirmed", "#20 24 07:00 handover to=m asOf=\"24 06:50\" infants=a\n" +
			"24 07:05 acceptance handover=#20 infants=a confirmed={\"a\":[\"pressure\",\"skin\",\"tube\"]}", "24 12:50",
			"know not confirmed at handover: FiO2, interface | handedOver |"},
		{"six hours ago", "#20 24 07:00 handover to=m asOf=\"24 06:50\" infants=a\n24 07:05 acceptance handover=#20 infants=a",
			"24 12:51", ""},
		{"all confirmed", "#20 24 07:00 handover to=m asOf=\"24 06:50\" infants=a\n24 07:05 acceptance handover=#20 infants=a " +
			"confirmed={\"a\":[\"pressure\",\"fio2\",\"interface\",\"skin\",\"tube\"]}", "24 09:00", ""},
		{"the tube, while none is in, is not asked for",
			"24 06:00 tube action=none\n#20 24 07:00 handover to=m asOf=\"24 06:50\" infants=a\n24 07:05 acceptance handover=#20 " +
				"infants=a confirmed={\"a\":[\"pressure\",\"fio2\",\"interface\",\"skin\"]}", "24 09:00", ""},
		{"none", "", "24 09:00", ""},
	})
	attentionRules(t, "new", "", "24 08:00 admission born=2026-10-24 cot=7 mrn=4711", []attentionRule{
		{"admitted in the window", "", "24 09:00", "know NEW, admitted 08:00 | new |"},
		{"before it", "", "24 20:40", ""},
	})
	attentionRules(t, "look-alike", "", conflicting, []attentionRule{
		{"each", "24 06:00 identity mother=m\n@b 24 06:00 identity mother=m", "24 09:00", "know LOOK-ALIKE 8 (sibling) | lookAlikes |"},
		{"none", "", "24 09:00", ""},
	})
}
