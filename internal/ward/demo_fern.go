package ward

import "time"

// The infants of Fern 1 to 4.

// twins: Zephyr's nose gets sore in the last night; Squall is on two pressures, and his tube slips. Their hospital
// numbers differ only by two swapped digits, and once one twin was charted as the other.
func twins(b *scenario) {
	z, s := b.infant(fern, "in-01", 1), b.infant(fern, "in-02", 2)
	zephyr(z)
	squall(s)

	// The wrong twin: weighed and watched in Fern 2, charted on Fern 1, found at the cot side.
	const why = "that was her brother, in Fern 2"
	wrongWeight := z.at("24 20:35", weight{"1075"})
	fit := episode{
		Signs:           []string{"desaturation", "bradycardia"},
		Seconds:         "20",
		LowestSpO2:      "78",
		LowestHeartRate: "92",
		During:          "handling",
		Recovered:       "touched",
	}
	wrongEpisode := z.at("24 20:40", fit)
	z.retract(wrongWeight, "24 21:25", why, s.late("24 20:35", "24 21:25", weight{"1075"}))
	z.retract(wrongEpisode, "24 21:26", why, s.late("24 20:40", "24 21:26", fit))
}

func zephyr(c *chart) {
	c.mask, c.prongs, c.barrier = "pea", "grass", []string{"septum"}
	c.at(
		"10-02 04:45",
		admission{Born: "2026-10-02T04:12:00+02:00", Cot: "Fern 1", MRN: "7302614", Family: "Feldspar", Given: "Zephyr", Sex: "female",
			Gestation: "26+5", BirthWeightG: "905",
			BirthOrder: "1", Multiples: "2", Mother: "mo-41", Visit: "s-60117", From: "birth room"},
	)
	c.begins("10-02 05:30", "ax-2041", settings{Pressure: "6", FiO2: "30", Flow: "8", SpO2Low: "90", SpO2High: "95"}, "incubator")
	c.at("10-05 10:10", head{Circumference: "23.8"})
	c.at("10-12 10:15", head{Circumference: "24.5"})
	c.at("10-19 10:10", head{Circumference: "25.4"})
	c.at("10-19 10:20", bonnet{"fitted", "petal"})
	c.at("10-16 11:00", tube{Action: "placed", Route: "oral", SizeFr: "6", MarkCm: "15.5", PH: "4.5", Aspirate: "got"})
	c.fits(when("10-19 10:40"))
	c.at("21 20:30", weight{"1120"})
	c.at("24 20:50", weight{"1165"})

	c.set21("27")
	wrong := c.at("23 14:10", settings{FiO2: "82"})
	c.correct(wrong, "23 14:31", "two digits turned round", "23 14:10", settings{FiO2: "28"})
	c.at("24 22:10", settings{FiO2: "30"})
	c.at("25 02:25", settings{FiO2: "32"})
	c.at("25 02:25b", settings{FiO2: "31"})
	c.skinTurns("25 00:30", "septum", "blanching")
	c.skinTurns("25 04:30", "septum", "stage-1", "swelling")

	c.cares("21 08:20", "25 02:00")
	c.observe("21 07:50", "25 07:25", seen, vitals{92, 158, 56})
	c.marks("21 09:00", "25 07:00")
	c.humidify("21 08:05", "25 07:00")
	c.checks("21 08:05", "25 07:00")

	c.at("25 05:15", c.skinAt(when("25 05:15"), everySite))
	c.at("25 05:20", care{What: "mouth-care"})
	c.at("25 05:22", care{What: "position", Side: "right"})
	c.at("25 05:24", care{What: "barrier", State: "off", Text: "barrier left off, so that the septum can be seen"})
	c.ordered(
		"25 05:40",
		plan{
			What:   "rotation",
			Every:  "none",
			Until:  stamp(when("25 12:00")),
			Reason: "septum red: mask alone until it has been looked at on the round",
		},
	)
	c.ordered("25 05:42", plan{What: "skin", Every: "3h", Until: stamp(when("26 08:00")), Reason: "septum red and swollen"})
	c.at(
		"25 05:50",
		note{
			Text: "Septum pale on pressure at one, red and swollen at a quarter past five though the mask was on. " +
				"Please look at it together at handover.",
			ReadOut: true,
		},
	)
	c.at("24 19:00", outlook{Severity: "stable"})
	c.at("25 05:55", outlook{Severity: "watcher", IfThen: []ifThen{
		{"oxygen above 36 for half an hour", "tell the prescriber"},
		{"skin of the septum opens", "picture, and tell the prescriber"}}, CallFor: "an episode that needs more than touch"})
	c.at(
		"23 03:40",
		episode{Signs: []string{"apnoea", "desaturation"}, Seconds: "18", LowestSpO2: "81", During: "rest", Recovered: "by-itself"},
	)
	c.late(
		"25 02:50",
		"25 04:20",
		episode{Signs: []string{"apnoea", "bradycardia"}, Seconds: "20", LowestHeartRate: "84", During: "rest", Recovered: "touched"},
	)
	c.at("22 15:10", care{What: "skin-to-skin", State: "on", Text: "mother, two hours"})
	c.at("24 09:10", bloodGas{Sample: "capillary", PH: "7.32", PCO2KPa: "6.4", BaseExcess: "0.5"})
	c.at("25 05:32", observations{Incubator: "33.4", Abdomen: "23.5"})
}

// set21 charts what was set when the record began.
func (c *chart) set21(fio2 Num) { c.at(dawn, settings{FiO2: fio2}) }

func squall(c *chart) {
	c.mask, c.prongs = "lentil", "grass"
	c.at(
		"10-02 04:50",
		admission{Born: "2026-10-02T04:20:00+02:00", Cot: "Fern 2", MRN: "7306214", Family: "Feldspar", Given: "Squall", Sex: "male",
			Gestation: "26+5", BirthWeightG: "840",
			BirthOrder: "2", Multiples: "2", Mother: "mo-41", Visit: "s-60118", From: "birth room"},
	)
	c.begins("10-02 05:50", "ax-2043", settings{Pressure: "6", FiO2: "35", Flow: "8", SpO2Low: "90", SpO2High: "95"}, "incubator")
	c.at("10-12 10:40", head{Circumference: "24.4"})
	c.at("10-19 10:50", head{Circumference: "25.2"})
	c.at("10-19 10:55", bonnet{"fitted", "petal"})
	c.at("10-18 17:05", tube{Action: "placed", Route: "oral", SizeFr: "6", MarkCm: "15.0", PH: "4.5", Aspirate: "got"})
	c.fits(when("20 11:10"))
	c.at("21 20:45", weight{"1040"})

	// Two pressures since the morning of the 24th.
	c.set21("33")
	c.at("24 09:30", support{State: "changed", Mode: "bilevel"})
	c.at("24 09:30", settings{Pressure: "6", Upper: "9", Rate: "30", Inspiratory: "0.5", FiO2: "36"})
	c.at("24 16:20", settings{FiO2: "34"})
	c.at("24 23:15", settings{FiO2: "38"})
	c.at("25 02:20b", settings{FiO2: "40"})
	c.at("25 05:05", settings{FiO2: "37"})

	c.cares("21 09:10", "25 07:00")
	c.observe("21 08:00", "24 09:30", seen, vitals{92, 162, 61})
	c.observe("24 10:00", "25 07:28", time.Hour, vitals{91, 164, 64})
	c.marks("21 10:00", "25 03:30")
	c.humidify("21 08:20", "25 07:00")
	c.checks("21 08:20", "25 07:00")

	c.ordered("24 09:40", plan{What: "observations", Every: "1h", Until: stamp(when("26 09:00")), Reason: "changed to two pressures"})
	c.at("24 19:02", outlook{Severity: "unstable", IfThen: []ifThen{
		{"oxygen above 40", "blood gas and prescriber"},
		{"two episodes with bagging in an hour", "prescriber at the cot side at once"}}, CallFor: "any bagging"})
	c.at(
		"24 12:35",
		episode{
			Signs:           []string{"apnoea", "bradycardia", "desaturation"},
			Seconds:         "25",
			LowestSpO2:      "74",
			LowestHeartRate: "88",
			During:          "feed",
			Recovered:       "touched",
		},
	)
	c.at(
		"25 02:16b",
		alarm{About: "low-pressure", Tried: []cause{{"lips open", false}, {"pot lid loose", false}, {"nose not sealed", true}},
			Action: "prongs seated again, chin held", SettledAt: stamp(when("25 02:19b"))},
	)
	c.at(
		"25 02:17b",
		episode{
			Signs:           []string{"bradycardia", "desaturation"},
			Seconds:         "40",
			LowestSpO2:      "71",
			LowestHeartRate: "79",
			During:          "rest",
			Recovered:       "oxygen-raised",
		},
	)
	c.at("25 02:24b", care{What: "chin-strap", State: "on"})
	c.at("25 04:50", episode{Signs: []string{"apnoea", "bradycardia", "desaturation"}, Seconds: "55", LowestSpO2: "58",
		LowestHeartRate: "64", During: "rest", Recovered: "bagged"})
	c.at("25 04:55", told{Whom: "Prescriber Marl", About: "bagged at ten to five, oxygen 40", Answer: "gas now, comes to the cot side"})
	c.at("25 05:00", bloodGas{Sample: "capillary", PH: "7.24", PCO2KPa: "8.1", BaseExcess: "-2.5", Lactate: "1.9"})
	c.at("25 05:15", limits{SpO2Low: "87", OxygenHigh: "65"})

	c.late("25 07:27", "25 07:28", observations{SpO2: "89", SpO2Site: "foot", HeartRate: "166", RespRate: "70"})

	// The tube stays at 15.0 cm, then slips by more than a centimetre.
	c.at("25 06:45", tube{Action: "checked", MarkCm: "13.9", Aspirate: "none"})
	c.at("25 06:48", note{Text: "Tube at 13.9, nothing comes back: the feed of seven is held.", ReadOut: true})
	c.at("25 06:50", task{Text: "replace the tube, check how sour, then feed", DueAt: stamp(when("25 08:00"))})
}

// rime: the bridge of the nose heals; in the morning the bonnet is found tight.
func rime(b *scenario) {
	c := b.infant(fern, "in-03", 3)
	c.mask, c.prongs, c.barrier = "bean", "reed", []string{"bridge"}
	c.at(
		"09-25 22:10",
		admission{Born: "2026-09-25T21:31:00+02:00", Cot: "Fern 3", MRN: "7288035", Family: "Quartz", Given: "Rime", Sex: "female",
			Gestation: "28+1", BirthWeightG: "1060", Mother: "mo-36", Visit: "s-59902", From: "theatre"},
	)
	c.begins("09-25 23:10", "ax-2017", settings{Pressure: "6", FiO2: "28", Flow: "8", SpO2Low: "90", SpO2High: "95"}, "incubator")
	c.at("10-13 09:50", head{Circumference: "26.6"})
	c.at("10-20 10:05", head{Circumference: "27.5"})
	c.at("10-20 10:15", bonnet{"fitted", "bloom"})
	c.at("10-15 14:00", tube{Action: "placed", Route: "oral", SizeFr: "6", MarkCm: "16.5", PH: "5.0", Aspirate: "got"})
	c.fits(when("10-15 14:20"))
	c.fits(when("22 11:30"))
	c.at("21 21:00", weight{"1440"})
	c.at("24 21:10", weight{"1485"})

	c.set21("24")
	c.at("22 10:40", settings{Pressure: "5"})
	c.at("24 10:20", settings{FiO2: "23"})
	c.skinTurns("10-20 12:00", "bridge", "stage-1")
	c.skinTurns("22 16:00", "bridge", "blanching")
	c.skinTurns("24 23:00", "bridge", "intact")

	c.cares("21 08:45", "25 07:10")
	c.observe("21 09:00", "25 07:28", seen, vitals{93, 154, 52})
	c.marks("21 11:00", "25 07:00")
	c.humidify("21 08:30", "25 07:00")
	c.checks("21 08:30", "25 07:00")

	c.at("25 05:40", bonnet{Action: "tight"})
	c.at("25 05:42", task{Text: "measure the head and fit the bonnet anew", DueAt: stamp(when("25 10:30"))})
	c.at("24 18:50", outlook{Severity: "stable"})
	c.at("23 17:30", care{What: "skin-to-skin", State: "on", Text: "father, ninety minutes"})
	c.at("21 13:20", episode{Signs: []string{"bradycardia"}, Seconds: "12", LowestHeartRate: "89", During: "feed", Recovered: "by-itself"})
}

// hail: weaned in the night; his family name is spelt almost like Rime's.
func hail(b *scenario) {
	c := b.infant(fern, "in-04", 4)
	c.mask, c.prongs = "bean", "willow"
	c.at(
		"09-28 13:25",
		admission{Born: "2026-09-28T13:02:00+02:00", Cot: "Fern 4", MRN: "7291548", Family: "Quarts", Given: "Hail", Sex: "male",
			Gestation: "30+2", BirthWeightG: "1480", Mother: "mo-38", Visit: "s-59977", From: "birth room"},
	)
	c.begins(
		"09-28 14:30",
		"ax-2022",
		settings{Pressure: "6", FiO2: "30", Flow: "8", SpO2Low: "91", SpO2High: "95"},
		"radiant-warmer",
	)
	c.at("10-15 10:30", head{Circumference: "29.4"})
	c.at("10-15 10:35", bonnet{"fitted", "fruit"})
	c.at("22 10:10", head{Circumference: "30.1"})
	c.at("22 10:20", bonnet{"fitted", "crown"})
	c.at("10-14 17:00", tube{Action: "placed", Route: "nasal", SizeFr: "6", MarkCm: "19.0", PH: "5.0", Aspirate: "got"})
	c.fits(when("10-15 10:55"))
	c.fits(when("22 10:45"))
	c.at("21 20:10", weight{"1950"})
	c.at("24 20:15", weight{"1995"})

	c.set21("22")
	c.at("22 09:50", settings{Pressure: "5"})
	c.at("23 16:10", settings{FiO2: "21"})
	c.skinTurns("24 14:00", "naris-left", "blanching")

	c.cares("21 10:00", "25 00:30")
	c.observe("21 08:40", "25 01:00", seen, vitals{95, 148, 46})
	c.marks("21 09:30", "25 07:00")
	c.humidify("21 08:45", "25 00:30")
	c.checks("21 08:45", "25 00:30")

	c.at("25 01:20", support{State: "stopped", Reason: "weaned"})
	c.at("25 01:20", nasal{Type: "off"})
	c.at("25 01:25", humidifier{State: "off"})
	c.at("25 01:26", bonnet{Action: "removed"})
	c.observe("25 02:15", "25 07:28", time.Hour, vitals{96, 150, 48})
	c.at("25 02:40b", c.skinAt(when("25 02:40b"), []string{"naris-left", "naris-right"}))
	c.at("25 05:30", c.skinAt(when("25 05:30"), []string{"septum", "naris-left", "naris-right", "bridge"}))
	c.at("25 05:34", care{What: "mouth-care"})
	c.at("25 05:36", care{What: "position", Side: "prone"})
	c.at("25 01:40", outlook{Severity: "watcher", IfThen: []ifThen{
		{"breathing faster than 70 for an hour, or pulling in", "prescriber; support back on"}}, CallFor: "oxygen needed again"})
	c.at("24 15:30", care{What: "skin-to-skin", State: "on", Text: "mother"})
}
