package handover_test

import "testing"

func TestHead(t *testing.T) {
	rules(t, "", admitted, []rule{
		{"never measured", "", "24 08:00", "head = not charted"},
		{"the latest of the record", "10 08:00 head circumferenceCm=25.0\n#4 20 08:00 head circumferenceCm=26.0", "24 08:00",
			"head.circumferenceCm = 26.0\nhead.source = #4 20 08:00 n"},
		{"unreliable: no z, no growth", "10 08:00 head circumferenceCm=25.0\n20 08:00 head circumferenceCm=26.0 unreliable=swelling",
			"24 08:00", "head.unreliable = swelling\nhead.noZ = unreliable\nhead.z = -\nhead.standard = -\nonly head.growth"},
	})
	const girl, boy = "born=2026-10-01 cot=7 mrn=1 sex=female gestation=27+0", "born=2026-10-01 cot=7 mrn=1 sex=male gestation=27+0"
	rules(t, "", "", []rule{
		// By hand from the equations: 30+0 is 210 days; a girl's mean 27.136, SD 1.384; a boy's 27.932.
		{"a girl", "1 06:00 admission " + girl + "\n22 12:00 head circumferenceCm=28.52", "22 13:00",
			"head.z = 1.00\nhead.centile = 84.1"},
		{"a boy", "1 06:00 admission " + boy + "\n22 12:00 head circumferenceCm=27.932", "22 13:00", "head.z = 0.00\nhead.centile = 50.0"},
		{"by the civil day of the reading, not of today", "1 06:00 admission " + girl + "\n22 12:00 head circumferenceCm=28.52",
			"30 13:00", "head.z = 1.00"},
		{"by the unit's civil day", "1 06:00 admission " + girl + "\n2026-10-21T23:30:00Z head circumferenceCm=28.52", "22 13:00",
			"head.z = 1.00"},
		{"on the day of birth, size at birth", "1 06:00 admission " + girl + "\n1 22:00 head circumferenceCm=24.753", "22 13:00",
			"head.z = 0.00\nhead.standard = INTERGROWTH-21st very preterm size at birth, 2016"},
		{"the day after, the other", "1 06:00 admission " + girl + "\n2 00:10 head circumferenceCm=24.753", "22 13:00",
			"head.standard = INTERGROWTH-21st preterm postnatal, 2015"},
		{"sex unknown", "1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=unknown gestation=27+0\n22 12:00 head circumferenceCm=28",
			"22 13:00", "head.noZ = sex"},
		{"sex not charted", "1 06:00 admission born=2026-10-01 cot=7 mrn=1 gestation=27+0\n22 12:00 head circumferenceCm=28", "22 13:00",
			"head.noZ = sex"},
		{"days of gestation unknown", "1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=male gestation=27\n" +
			"22 12:00 head circumferenceCm=28", "22 13:00", "head.noZ = gestation"},
		{"gestation not charted", "1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=male\n22 12:00 head circumferenceCm=28", "22 13:00",
			"head.noZ = gestation"},
		{"gestation known later", "1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=female\n22 12:00 head circumferenceCm=28.52\n" +
			"23 12:00 identity gestation=27+0", "24 13:00", "head.z = 1.00"},
		{"the first reason", "1 06:00 admission born=2026-10-01 cot=7 mrn=1\n22 12:00 head circumferenceCm=28 unreliable=other",
			"22 13:00", "head.noZ = unreliable"},
		{"too young for it", "1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=male gestation=25+0\n10 12:00 head circumferenceCm=28",
			"22 13:00", "head.noZ = age"},
	})
}

// Growth a week: from the newest reliable reading at least 5 civil days before.
func TestHeadGrowth(t *testing.T) {
	rules(t, "", admitted, []rule{
		{"one reading", "20 08:00 head circumferenceCm=26.0", "24 08:00", "only head.growth"},
		{"5 civil days, by the calendar", "#3 15 23:00 head circumferenceCm=25.0\n20 01:00 head circumferenceCm=25.5", "24 08:00",
			"head.growth.cmPerWeek = 0.70\nhead.growth.from = 25.0\nhead.growth.from.source = #3 15 23:00 n\n" +
				"head.growth.withinError = true"},
		{"4 civil days are too few", "16 00:10 head circumferenceCm=25.0\n20 23:00 head circumferenceCm=25.5", "24 08:00",
			"only head.growth"},
		{"the newest of those", "3 08:00 head circumferenceCm=20.0\n13 08:00 head circumferenceCm=25.0\n" +
			"17 08:00 head circumferenceCm=25.5\n20 08:00 head circumferenceCm=26.0", "24 08:00",
			"head.growth.from = 25.0\nhead.growth.cmPerWeek = 1.00"},
		// 2 × 7 ÷ 17
		{"an unreliable one is passed over", "3 08:00 head circumferenceCm=24.0\n" +
			"13 08:00 head circumferenceCm=29.0 unreliable=swelling\n20 08:00 head circumferenceCm=26.0", "24 08:00",
			"head.growth.from = 24.0\nhead.growth.cmPerWeek = 0.82\nhead.growth.withinError = false"},
		{"a head that shrinks", "13 08:00 head circumferenceCm=26.0\n20 08:00 head circumferenceCm=25.9", "24 08:00",
			"head.growth.cmPerWeek = -0.10\nhead.growth.withinError = true"},
		{"no minus before zero", "1 08:00 head circumferenceCm=26.000\n24 08:00 head circumferenceCm=25.999", "24 08:00",
			"head.growth.cmPerWeek = 0.00"},
	})
}

func TestWeight(t *testing.T) {
	rules(t, "", "", []rule{
		// VPNS at 27+0: ln kg mean 1.325911 × √27 − 7.00303 is −0.11340 for a girl: 893 g.
		{"birth weight on the standard of size at birth",
			"1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=female gestation=27+0 birthWeightG=893", "24 08:00", `
			birthWeight.weightG = 893
			birthWeight.z = 0.00
			birthWeight.standard = INTERGROWTH-21st very preterm size at birth, 2016
			weight.weightG = -`},
		// PNG at 30+0: ln kg mean 0.1728 for a boy, SD 0.1799 (worked example of the package): 1350 g is 0.7075.
		{"the latest on the other", "1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=male gestation=27+0\n" +
			"#3 22 06:00 weight weightG=1350", "24 08:00", `
			weight.weightG = 1350
			weight.z = 0.71
			weight.centile = 76.0
			weight.standard = INTERGROWTH-21st preterm postnatal, 2015
			weight.source = #3 22 06:00 n
			birthWeight.weightG = -`},
	})
}
