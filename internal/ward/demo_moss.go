package ward

import "time"

// The infants of Moss 9 to 12, and the one who left.

// drizzle: came in the evening while two others came; hardly anything was charted since. The tag of his driver is
// that of Fern 6: one of the two was read wrong. His mask was charted off for cares, and never on again.
func drizzle(b *scenario) {
	c := b.infant(moss, "in-09", 9)
	c.at("24 22:40", admission{Born: "2026-10-20", Cot: "Moss 9", MRN: "7318806", Family: "Flint", Given: "Drizzle", Sex: "male",
		Gestation: "31", Mother: "mo-50", Visit: "s-60436", From: "Peatland cottage hospital"})
	c.at("24 22:55", support{State: "started", Mode: "cpap", Driver: "ax-2051"})
	c.at("24 22:56", nasal{Type: "mask"})
	c.at("24 23:10", observations{SpO2: "93", HeartRate: "152"})
	c.at("25 05:50", nasal{Type: "off", Reason: "cares"})
}

// monsoon: asleep on her father since before six, so the change of interface is put off. Her tube was moved on
// purpose, her given name was charted late, and her mouth is dry.
func monsoon(b *scenario) {
	c := b.infant(moss, "in-10", 10)
	c.mask, c.prongs = "bean", "reed"
	c.at("08-29 06:35", admission{Born: "2026-08-29T06:02:00+02:00", Cot: "Moss 10", MRN: "7262493", Family: "Saxifrage", Sex: "female",
		Gestation: "26+2", BirthWeightG: "820", Mother: "mo-17", Visit: "s-58990", From: "birth room"})
	c.begins("08-29 07:40", "ax-2012", settings{Pressure: "7", FiO2: "38", Flow: "8", SpO2Low: "91", SpO2High: "95"}, "incubator")
	c.at("10-14 10:00", head{Circumference: "28.5"})
	c.at("21 10:00", head{Circumference: "29.2"})
	c.at("21 10:05", bonnet{"fitted", "fruit"})
	c.at("10-18 05:10", tube{Action: "placed", Route: "oral", SizeFr: "6", MarkCm: "17.5", PH: "5.0", Aspirate: "got"})
	c.fits(when("21 10:40"))
	c.at("22 08:40", identity{Given: "Monsoon"})
	c.at("21 21:15", weight{"1905"})
	c.at("24 18:20", weight{"1960"})

	c.set21("23")
	c.at("21 07:36", settings{Pressure: "5"})
	c.at("24 11:50", settings{FiO2: "22"})
	c.cares("21 08:00", "25 01:30")
	c.observe("21 09:10", "25 07:28", seen, vitals{94, 144, 46})
	c.marks("21 07:50", "24 16:00")
	c.at("24 16:30", tube{Action: "repositioned", MarkCm: "18.0", PH: "5.0", Aspirate: "got"})
	c.marks("24 22:20", "25 06:50")
	c.humidify("21 09:20", "25 07:00")
	c.checks("21 09:20", "25 07:00")

	c.at("25 05:35", c.skinAt(when("25 05:35"), everySite))
	c.at("25 05:38", care{What: "mouth-care"})
	c.at("25 05:40", care{What: "position", Side: "prone"})
	c.at("25 05:45", care{What: "skin-to-skin", State: "on", Text: "on her father's chest"})
	c.at(
		"25 05:50",
		deferral{
			What:   "rotation",
			Until:  stamp(when("25 08:30")),
			Reason: "asleep on her father, skin seen beforehand: change when she goes back to her cot",
		},
	)
	c.ordered("22 11:00", plan{What: "care", Care: "mouth-care", Every: "4h", Until: stamp(when("26 11:00")), Reason: "mouth dry"})
	c.at("24 18:40", outlook{Severity: "stable"})
	c.at("23 23:50", episode{Signs: []string{"desaturation"}, Seconds: "15", LowestSpO2: "82", During: "feed", Recovered: "by-itself"})
}

// gust: his name is not shown. He had a trial of half an hour without support, and lay on his mother for seventy minutes
// without an interface; a flow was written down wrong twice.
func gust(b *scenario) {
	c := b.infant(moss, "in-11", 11)
	c.mask, c.prongs = "bean", "willow"
	c.at(
		"10-11 19:10",
		admission{Born: "2026-10-11T18:36:00+02:00", Cot: "Moss 11", MRN: "7311725", Family: "Travertine", Given: "Gust", Sex: "male",
			Gestation: "31+0", BirthWeightG: "1520", Mother: "mo-47", Visit: "s-60260", From: "birth room"},
	)
	c.at("21 12:00", identity{Restricted: true})
	c.begins(
		"10-11 20:00",
		"ax-2077",
		settings{Pressure: "6", FiO2: "26", Flow: "8", SpO2Low: "91", SpO2High: "95"},
		"radiant-warmer",
	)
	c.at("10-13 10:30", head{Circumference: "28.3"})
	c.at("10-20 10:40", head{Circumference: "29.1"})
	c.at("10-20 10:45", bonnet{"fitted", "fruit"})
	c.at("10-17 17:00", tube{Action: "placed", Route: "oral", SizeFr: "6", MarkCm: "17.0", PH: "4.5", Aspirate: "got"})
	c.fits(when("20 16:20"))
	c.at("21 21:30", weight{"1610"})
	c.at("24 21:35", weight{"1655"})

	c.set21("23")
	flow := c.at("23 09:20", settings{Flow: "0.7"})
	c.correct(flow, "23 09:41", "decimal point slipped", "23 09:20", settings{Flow: "9"})
	c.correct(flow, "23 10:15", "the first correction took the figure of the cot beside", "23 09:20", settings{Flow: "7"})
	c.at("24 09:00", settings{Pressure: "5", FiO2: "21"})
	c.cares("21 10:20", "24 13:30")

	c.at("24 14:40", c.skinAt(when("24 14:40"), everySite))
	c.at("24 15:00", support{State: "stopped", Reason: "trial-off"})
	c.at("24 15:00", nasal{Type: "off"})
	c.at("24 15:35", support{State: "started", Mode: "cpap", Driver: "ax-2077"})
	c.rotate(when("24 15:35"))
	c.at("24 15:36", note{Text: "Trial off ended after 35 minutes: breathing 74, pulling in."})
	c.at("24 15:37", outlook{Severity: "watcher"})
	c.cares("24 19:30", "25 00:30")
	// He lies on his mother without an interface, in air, long enough to restart the interface and skin clocks.
	c.at("25 00:55", nasal{Type: "off", Reason: "other"})
	c.at("25 00:56", care{What: "skin-to-skin", State: "on", Text: "mother"})
	c.at("25 02:00", c.skinAt(when("25 02:00"), noseSites))
	c.rotate(when("25 02:05"))
	c.at("25 02:06", care{What: "skin-to-skin", State: "off"})
	c.cares("25 05:20", "25 07:00")

	c.observe("21 08:50", "25 07:28", seen, vitals{95, 142, 50})
	c.marks("21 10:10", "25 07:00")
	c.humidify("21 09:30", "25 07:00")
	c.checks("21 09:30", "25 07:00")
	c.at("24 18:42", outlook{Severity: "watcher", IfThen: []ifThen{{"off well for an hour on the next trial", "leave off and watch"}}})
}

// breeze: moved from Moss 8 to Moss 12, beside Gust, whose hospital number is nearly hers. Her head is moulded, a
// lamp stands over the cot, and a soiled circuit was changed.
func breeze(b *scenario) {
	c := b.infant(moss, "in-12", 12)
	c.mask, c.prongs = "pea", "reed"
	c.at(
		"10-14 11:40",
		admission{Born: "2026-10-14T11:05:00+02:00", Cot: "Moss 8", MRN: "7311752", Family: "Lichen", Given: "Breeze", Sex: "female",
			Gestation: "29+5", BirthWeightG: "1250", Mother: "mo-48", Visit: "s-60301", From: "theatre"},
	)
	c.begins("10-14 12:30", "ax-2088", settings{Pressure: "6", FiO2: "30", Flow: "8", SpO2Low: "90", SpO2High: "95"}, "incubator")
	c.at("22 13:30", move{"Moss 12"})
	c.at("21 10:30", head{"27.0", "moulding"})
	c.at("21 10:35", bonnet{"fitted", "bloom"})
	c.at("10-19 23:10", tube{Action: "placed", Route: "oral", SizeFr: "6", MarkCm: "16.0", PH: "4.5", Aspirate: "got"})
	c.fits(when("10-20 10:30"))
	c.at("23 03:05", circuit{"soiled"})
	c.fits(when("23 03:40"))
	c.at("23 04:00", setup{Steps: allSteps(), Around: []string{"incubator", "phototherapy"}, ProbeOutside: true, ProbeShielded: true})
	c.at("21 21:40", weight{"1270"})
	c.at("24 21:45", weight{"1300"})

	c.set21("28")
	c.at("22 18:10", settings{FiO2: "26"})
	c.at("25 00:15", settings{FiO2: "27"})
	c.cares("21 09:00", "25 07:00")
	c.observe("21 08:30", "25 07:28", 2*time.Hour, vitals{92, 152, 54})
	c.marks("21 09:50", "25 07:00")
	c.humidify("21 09:40", "25 07:00")
	c.checks("21 09:40", "25 07:00")
	c.at("24 18:44", outlook{Severity: "stable"})
	blood := c.at("24 20:10", task{Text: "blood for bilirubin", DueAt: stamp(when("25 06:00"))})
	c.late("25 05:45", "25 06:40", taskDone{blood})
	c.at("22 20:10", episode{Signs: []string{"apnoea"}, Seconds: "22", During: "rest", Recovered: "touched"})
}

// mizzle: weaned on the 20th, moved to the mothers' ward in the evening.
func mizzle(b *scenario) {
	c := b.infant(moss, "in-13", 13)
	c.at(
		"10-01 15:20",
		admission{Born: "2026-10-01T14:58:00+02:00", Cot: "Moss 9", MRN: "7300057", Family: "Clover", Given: "Mizzle", Sex: "other",
			Gestation: "31+5", BirthWeightG: "1690", Mother: "mo-40", Visit: "s-60101", From: "birth room"},
	)
	c.mask, c.prongs = "bean", "willow"
	c.begins(
		"10-01 16:10",
		"ax-2031",
		settings{Pressure: "5", FiO2: "25", Flow: "8", SpO2Low: "91", SpO2High: "95"},
		"radiant-warmer",
	)
	c.at("10-20 09:00", support{State: "stopped", Reason: "weaned"})
	c.at("10-20 09:00", nasal{Type: "off"})
	c.at("10-20 10:00", head{Circumference: "31.0"})
	c.at("10-20 10:10", weight{"2120"})
	c.observe("21 09:00", "24 20:00", 6*time.Hour, vitals{96, 140, 44})
	for i, t := range c.rounds("10-20 12:00", "24 20:15", 5*time.Hour+30*time.Minute, 10) {
		c.comfort(t, i)
	}
	c.at("24 20:30", discharge{To: "ward", Place: "Heather ward"})
}
