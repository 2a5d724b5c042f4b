package handover_test

import "testing"

// Of each thing the latest is judged, against the one before it that was in no doubt
// itself.
func TestDoubts(t *testing.T) {
	const first = "17 06:00 head circumferenceCm=25.0\n"
	rules(t, `{"sizes":{"bonnet":[{"name":"A","fromCm":20,"toCm":22}]},"every":{"humidifier":"none"}}`, onCPAP, []rule{
		{"head, as far as a week allows", first + "24 06:00 head circumferenceCm=27.5", "24 08:00", "only doubts"},
		{"head, further", first + "#5 24 06:00 head circumferenceCm=27.6", "24 08:00",
			"doubts.head-jump = head 25.0 → 27.6 cm since 17 Oct 06:00 (head) #5\nonly doubts"},
		{"head, smaller", first + "#5 24 06:00 head circumferenceCm=22.4", "24 08:00",
			"doubts.head-jump = head 25.0 → 22.4 cm since 17 Oct 06:00 (head) #5\nonly doubts"},
		{"head, against the one in no doubt", first + "24 06:00 head circumferenceCm=29\n#6 24 06:30 head circumferenceCm=29.2",
			"24 08:00", "doubts.head-jump = head 25.0 → 29.2 cm since 17 Oct 06:00 (head) #6\nonly doubts"},
		{"head, put right", first + "24 06:00 head circumferenceCm=29\n24 06:30 head circumferenceCm=25.9", "24 08:00", "only doubts"},
		{"head, far out on the standard", "#5 24 06:00 head circumferenceCm=38", "24 08:00",
			"doubts.head-z = head 38 cm, z 7.80 (head) #5\nonly doubts"},

		{"weight, within so much", "22 06:00 weight weightG=1000\n24 06:00 weight weightG=1150", "24 08:00", "only doubts"},
		{"weight, further", "22 06:00 weight weightG=1000\n#5 24 06:00 weight weightG=1151", "24 08:00",
			"doubts.weight-jump = weight 1000 → 1151 g since 22 Oct 06:00 (weight) #5\nonly doubts"},
		{"weight, three days before", "21 06:00 weight weightG=1000\n#5 24 06:00 weight weightG=1151", "24 08:00",
			"doubts.weight-jump = weight 1000 → 1151 g since 21 Oct 06:00 (weight) #5\nonly doubts"},
		{"weight, longer before", "21 05:59 weight weightG=1000\n24 06:00 weight weightG=1500", "24 08:00", "only doubts"},

		{"bonnet, as far off as that", "24 06:00 head circumferenceCm=23\n24 06:00 bonnet action=fitted size=A", "24 08:00",
			"only doubts"},
		{"bonnet, further off", "24 06:00 head circumferenceCm=23.1\n#5 24 06:00 bonnet action=fitted size=A", "24 08:00",
			"doubts.bonnet-range = bonnet A, 20 to 22 cm, on a head of 23.1 cm (bonnet) #5\nonly doubts"},
		{"bonnet, taken off", "24 06:00 head circumferenceCm=23.1\n24 06:00 bonnet action=fitted size=A\n24 07:00 bonnet action=removed",
			"24 08:00", "only doubts"},
		{"bonnet, the head measured after it", "24 06:00 bonnet action=fitted size=A\n24 06:01 head circumferenceCm=25", "24 08:00",
			"only doubts"},

		{"pressure read half an hour after a stop", "24 07:00 support state=stopped\n24 07:30 observations pressureCmH2O=5", "24 08:00",
			"only doubts"},
		{"and later", "24 07:00 support state=stopped\n#5 24 07:31 observations pressureCmH2O=5 fio2Percent=21", "24 08:00",
			"doubts.read-off-support = pressure read at 07:31, support stopped at 07:00 (observations.pressureCmH2O) #5\nonly doubts"},
		{"oxygen, in a break", "24 07:00 support state=stopped\n#5 24 07:31 observations fio2Percent=21\n" +
			"24 07:40 support state=started mode=cpap", "24 08:00",
			"doubts.read-off-support = oxygen read at 07:31, support stopped at 07:00 (observations.fio2Percent) #5\nonly doubts"},
		{"read on support", "24 07:31 observations pressureCmH2O=5", "24 08:00", "only doubts"},

		{"chamber, while it is off", "24 07:00 humidifier state=off\n#5 24 07:10 humidifier chamberC=36", "24 08:00",
			"doubts.chamber-off = chamber 36 °C, and the humidifier is off (humidifier.chamberC) #5\nonly doubts"},
		{"chamber, on again", "24 07:00 humidifier state=off\n24 07:10 humidifier chamberC=36\n24 07:20 humidifier state=on chamberC=36",
			"24 08:00", "only doubts"},
		{"chamber, never on", "24 07:10 humidifier chamberC=36", "24 08:00", "only doubts"},
	})
	rules(t, "", onCPAP, []rule{
		{"twice in a minute", "24 07:00 observations spo2Percent=93 heartRateBpm=150\n#5 24 07:01 observations spo2Percent=93 " +
			"heartRateBpm=150", "24 08:00", "doubts.twice = the same observations twice, 07:00 and 07:01 (observations) #5\nonly doubts"},
		{"two minutes apart", "24 07:00 observations spo2Percent=93\n24 07:02 observations spo2Percent=93", "24 08:00", "only doubts"},
		{"the same number, with a decimal", "24 07:00 observations spo2Percent=93\n#5 24 07:01 observations spo2Percent=93.0", "24 08:00",
			"doubts.twice = the same observations twice, 07:00 and 07:01 (observations) #5\nonly doubts"},
		{"not the same", "24 07:00 observations spo2Percent=93\n24 07:01 observations spo2Percent=93.1", "24 08:00", "only doubts"},
	})
	rules(t, `{"staff":[{"key":"n"}]}`, onCPAP, []rule{
		{"all listed", "", "24 08:00", "only doubts"},
		{"one a key, at its latest entry", "24 07:40 weight weightG=900 by=x\n#6 24 07:50 weight weightG=900 by=x\n" +
			"#7 24 07:45 weight weightG=900 by=y", "24 09:00",
			"doubts.staff = not in the unit's list of staff: y (staff) #7"},
		{"before the window", "24 07:30 weight weightG=900 by=x", "24 09:00", "only doubts"},
		{"to whom it is handed over", "#20 24 07:40 handover to=m asOf=\"24 07:35\" infants=a", "24 09:00",
			"doubts.staff = not in the unit's list of staff: m (staff) #20\nonly doubts"},
		{"of others", "@b 24 07:20 admission born=2026-10-20 cot=8 mrn=1\n#20 24 07:40 handover to=m asOf=\"24 07:35\" infants=b",
			"24 09:00", "only infants.a.doubts\ninfants.b.doubts.staff = not in the unit's list of staff: m (staff) #20"},
	})
	rules(t, "", "1 06:00 admission born=2026-10-01 cot=7 mrn=4711 birthWeightG=1000\n", []rule{
		{"the birth weight counts, from the start of the day of birth", "#5 4 00:00 weight weightG=1200", "4 08:00",
			"doubts.weight-jump = weight 1000 → 1200 g since 1 Oct 00:00 (weight) #5\nonly doubts"},
		{"a minute later it does not", "4 00:01 weight weightG=1200", "4 08:00", "only doubts"},
	})
}
