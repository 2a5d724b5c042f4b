package ward

import "time"

// The infants of Fern 5 and 6, Moss 7 and 8.

// haze: on high flow since the 23rd. One episode was a loose lead, not the infant.
func haze(b *scenario) {
	c := b.infant(middle, "in-05", 5)
	c.mask, c.prongs = "bean", "reed"
	c.at(
		"09-08 17:50",
		admission{Born: "2026-09-08T17:20:00+02:00", Cot: "Fern 5", MRN: "7270961", Family: "Marram", Given: "Haze", Sex: "female",
			Gestation: "27+0", BirthWeightG: "910", Mother: "mo-22", Visit: "s-59310", From: "birth room"},
	)
	c.begins("09-08 18:40", "ax-2009", settings{Pressure: "7", FiO2: "35", Flow: "8", SpO2Low: "90", SpO2High: "95"}, "incubator")
	c.at("10-12 11:00", head{Circumference: "28.1"})
	c.at("10-19 11:10", head{Circumference: "28.9"})
	c.at("10-19 11:15", bonnet{"fitted", "fruit"})
	c.at("10-17 11:00", tube{Action: "placed", Route: "nasal", SizeFr: "6", MarkCm: "18.5", PH: "5.0", Aspirate: "got"})
	c.fits(when("10-16 10:30"))
	c.fits(when("23 10:05"))
	c.at("21 20:20", weight{"1720"})
	c.at("24 20:20", weight{"1770"})

	c.set21("25")
	c.cares("21 07:55", "23 09:30")
	c.at("23 10:15", support{State: "changed", Mode: "high-flow"})
	c.at("23 10:15", settings{Flow: "6", FiO2: "26"})
	c.at("23 10:17", nasal{Type: "cannula", Size: "narrow", Reason: "other"})
	c.at("23 10:20", bonnet{Action: "removed"})
	c.at("24 08:50", settings{FiO2: "25"})
	c.at("25 04:15", settings{FiO2: "24"})
	c.looks("23 14:10", "25 07:00", handsOn, flowSites)
	c.observe("21 08:10", "25 07:28", seen, vitals{93, 150, 50})
	c.marks("21 08:30", "25 07:00")
	c.humidify("21 09:00", "25 07:00")
	c.checks("21 09:00", "25 07:00")

	lead := c.at(
		"25 01:50",
		episode{Signs: []string{"bradycardia"}, Seconds: "10", LowestHeartRate: "60", During: "rest", Recovered: "by-itself"},
	)
	c.retract(lead, "25 02:05", "the lead had come off; pulse and colour were well", "")
	c.at("24 14:00", task{Text: "drops before the eye examination", DueAt: stamp(when("25 10:00"))})
	c.at("24 18:55", outlook{Severity: "stable", IfThen: []ifThen{{"oxygen above 30 for an hour", "ask whether to go back to the mask"}}})
	// Written down only after the evening's handover: it stands in the next one as late.
	c.late("24 18:40", "24 20:50", care{What: "eye-care"})
	c.at("22 04:20", episode{Signs: []string{"desaturation"}, Seconds: "30", LowestSpO2: "79", During: "feed", Recovered: "oxygen-raised"})
}

// thaw: a busy night. The prongs have been on since before midnight: for seven hours, though the clock on the wall,
// put back in between, says six. An alarm, and a bag that runs low.
func thaw(b *scenario) {
	c := b.infant(middle, "in-06", 6)
	c.mask, c.prongs = "pea", "reed"
	c.at(
		"10-04 09:20",
		admission{Born: "2026-10-04T08:47:00+02:00", Cot: "Fern 6", MRN: "7309470", Family: "Basalt", Given: "Thaw", Sex: "male",
			Gestation: "27+4", BirthWeightG: "985", Mother: "mo-43", Visit: "s-60140", From: "theatre"},
	)
	c.begins("10-04 10:10", "ax-2051", settings{Pressure: "6", FiO2: "32", Flow: "9", SpO2Low: "90", SpO2High: "95"}, "incubator")
	c.at("10-11 10:00", head{Circumference: "25.9"})
	c.at("10-18 10:20", head{Circumference: "26.7"})
	c.at("10-18 10:25", bonnet{"fitted", "bloom"})
	c.at("10-19 05:00", tube{Action: "placed", Route: "oral", SizeFr: "6", MarkCm: "15.5", PH: "4.5", Aspirate: "got"})
	c.fits(when("10-20 15:10"))
	c.at("21 20:55", weight{"1110"})
	c.at("24 20:55", weight{"1135"})

	c.set21("30")
	c.at("23 22:30", settings{Pressure: "7", FiO2: "33"})
	c.at("24 21:10", settings{FiO2: "35"})
	c.at("25 03:30", settings{FiO2: "34"})
	c.cares("21 09:30", "24 21:00")
	c.at("24 23:35", c.skinAt(when("24 23:35"), everySite))
	c.rotate(when("24 23:40"))
	c.at("25 04:10", c.skinAt(when("25 04:10"), noseSites))
	c.at("25 04:14", care{What: "mouth-care"})
	c.at("25 04:15", care{What: "position", Side: "left"})
	c.at("25 04:20", note{Text: "Skin looked at with the prongs lifted; not changed to the mask: two admissions at once."})
	c.observe("21 08:20", "25 07:28", seen, vitals{91, 160, 60})
	c.marks("21 08:50", "25 07:00")
	c.humidify("21 09:10", "25 06:00")
	c.checks("21 09:10", "25 06:00")

	c.at(
		"25 00:45",
		alarm{About: "low-pressure", Tried: []cause{{"lips open", false}, {"nose not sealed", false}, {"water lying in a hose", true}},
			Action: "hose emptied, hung lower", SettledAt: stamp(when("25 00:52"))},
	)
	c.at("25 00:53", circuit{"drained"})
	c.at("25 00:46", episode{Signs: []string{"desaturation"}, Seconds: "35", LowestSpO2: "76", During: "rest", Recovered: "oxygen-raised"})
	c.at("25 07:05", humidifier{Chamber: "36.9", Water: "low"})
	c.at("25 06:10", allChecked("suction"))
	c.at(
		"24 19:05",
		outlook{
			Severity: "watcher",
			IfThen:   []ifThen{{"oxygen above 40", "blood gas and prescriber"}},
			CallFor:  "a second alarm in an hour",
		},
	)
}

// sleet: back since the 22nd from another hospital; her first stay ended on the 9th.
func sleet(b *scenario) {
	c := b.infant(middle, "in-07", 7)
	c.mask, c.prongs = "bean", "willow"
	c.at(
		"08-12 02:50",
		admission{Born: "2026-08-12T02:15:00+02:00", Cot: "Moss 7", MRN: "7243382", Family: "Juniper", Given: "Sleet", Sex: "female",
			Gestation: "25+6", BirthWeightG: "760", Mother: "mo-09", Visit: "s-58204", From: "birth room"},
	)
	c.begins("08-12 04:10", "ax-2003", settings{Pressure: "7", FiO2: "40", Flow: "8", SpO2Low: "90", SpO2High: "95"}, "incubator")
	c.at("09-24 10:00", head{Circumference: "28.6"})
	c.at("10-08 10:00", head{Circumference: "29.9"})
	c.at("10-08 10:30", weight{"1890"})
	c.at("10-09 09:40", discharge{To: "hospital", Place: "Ironwell children's hospital"})

	c.at("22 14:20", admission{Born: "2026-08-12", Cot: "Moss 7", MRN: "7243382", Family: "Juniper", Given: "Sleet", Sex: "female",
		Gestation: "25+6", BirthWeightG: "760", Mother: "mo-09", Visit: "s-60388", From: "Ironwell children's hospital"})
	c.begins(
		"22 15:10",
		"ax-2030",
		settings{Pressure: "6", FiO2: "32", Flow: "8", SpO2Low: "91", SpO2High: "95"},
		"radiant-warmer",
	)
	c.at("22 15:40", head{Circumference: "31.2"})
	c.at("22 15:45", bonnet{"fitted", "crown"})
	c.at("22 15:50", weight{"2190"})
	c.at("22 16:30", tube{Action: "found", Route: "oral", SizeFr: "8", MarkCm: "18.5", PH: "5.0", Aspirate: "got"})
	c.mark = "18.5"
	c.at("22 15:02", c.skinAt(when("22 15:02"), everySite))
	c.at("22 16:50", note{Text: "Back after the closure of the duct on the 12th. Scar under the left shoulder blade, dry."})

	c.at("23 11:30", settings{FiO2: "30"})
	c.at("24 17:40", settings{FiO2: "28"})
	c.cares("22 19:40", "25 07:10")
	c.observe("22 15:30", "25 07:28", seen, vitals{94, 146, 48})
	c.marks("22 21:00", "25 07:00")
	c.humidify("22 20:10", "25 07:00")
	c.checks("22 20:10", "25 07:00")
	c.at("24 18:58", outlook{Severity: "stable"})
	c.at("24 21:20", care{What: "parents", Text: "mother stays in the family room tonight, wants to be woken for the feed of six"})
}

// unnamed: born in the hour that the clock shows twice, and not yet named.
func unnamed(b *scenario) {
	c := b.infant(middle, "in-08", 8)
	c.mask, c.prongs = "pea", "reed"
	c.at("25 02:42b", calibration{Points: []gasPoint{{"21", "21.2"}, {"100", "99.1"}}, Flows: []Num{"8"}})
	c.at("25 02:44b", circuit{"fitted"})
	c.at("25 02:45b", humidifier{State: "on", Water: "changed", WaterMl: "500"})
	c.at("25 02:49b", seal{Held: true, Pressure: "6"})
	c.at("25 02:50b", support{State: "started", Mode: "cpap", Driver: "ax-2060", Why: "breathing fast and pulling in since birth"})
	c.at("25 02:50b", settings{Pressure: "6", FiO2: "30", Flow: "8", SpO2Low: "90", SpO2High: "95"})
	c.at("25 02:52b", nasal{Type: "mask", Size: "pea", Reason: "first"})
	c.at("25 02:58b", observations{SpO2: "82", SpO2Site: "right-hand", HeartRate: "148", RespRate: "58"})
	c.at("25 03:15", admission{Born: "2026-10-25T02:40:00+01:00", Cot: "Moss 8", Temporary: "MW-25-K", Sex: "female",
		Gestation: "29+2", BirthWeightG: "1190", Mother: "mo-57", Visit: "s-60441", From: "birth room"})
	steps := allSteps()
	steps[9].Done = false // not yet at heat
	steps[5].Done = false // the heat probe was put in later, and nobody ticked it
	c.at("25 03:20", setup{Steps: steps, Around: []string{"incubator"}, ProbeOutside: true})
	c.at("25 03:24", humidifier{State: "ready", Chamber: "36.7"})
	c.at("25 03:25", setup{Steps: []step{{"at-heat", true}}})
	c.at("25 03:30", settings{FiO2: "27"})
	c.at("25 03:50", head{Circumference: "25.9"})
	c.at("25 03:55", bonnet{"fitted", "petal"})
	c.at("25 04:05", c.skinAt(when("25 04:05"), everySite))
	c.at("25 04:20", tube{Action: "placed", Route: "oral", SizeFr: "6", MarkCm: "15.5", PH: "4.5", Aspirate: "got"})
	c.at("25 05:10", tube{Action: "checked", MarkCm: "15.5", XRay: true})
	c.observe("25 03:40", "25 07:28", time.Hour, vitals{92, 156, 62})
	c.at("25 05:20", settings{FiO2: "25"})
	c.at("25 06:10", humidifier{Chamber: "37.1", Water: "ok"})
	c.ordered("25 03:45", plan{What: "observations", Every: "1h", Until: stamp(when("26 04:00")), Reason: "first day"})
	c.at("25 06:30", care{What: "mouth-care"})
	c.at("25 06:32", care{What: "position", Side: "supine"})
	c.at("25 03:35", allChecked())
	c.at("25 06:20", outlook{Severity: "watcher", IfThen: []ifThen{{"oxygen above 30", "tell the prescriber"}}})
	c.at("25 06:35", task{Text: "name band when the parents have chosen a name", DueAt: stamp(when("25 14:00"))})
}
