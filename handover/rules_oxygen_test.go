package handover_test

import "testing"

// FiO2 over the window is a step function within spells, of what was in force at
// any moment of [since, at]. By hand in each row.
func TestFiO2OverTheWindow(t *testing.T) {
	const when = "24 12:00 since 24 08:00"
	rules(t, "", onCPAP, []rule{
		{"weighted by time", "24 06:00 settings fio2Percent=25\n24 09:00 settings fio2Percent=30\n24 11:00 settings fio2Percent=25",
			when, `
			fio2.minPercent = 25
			fio2.maxPercent = 30
			fio2.meanPercent = 27.50
			fio2.rises = 1`},
		// (160 × 21 + 80 × 22) ÷ 240
		{"thirds are rounded once", "24 06:00 settings fio2Percent=21\n24 10:40 settings fio2Percent=22", when,
			"fio2.meanPercent = 21.33"},
		// 30.005
		{"half away from zero", "24 06:00 settings fio2Percent=30\n24 11:57 settings fio2Percent=30.4", when, "fio2.meanPercent = 30.01"},
		{"in force since before it", "24 06:00 settings fio2Percent=40", when,
			"fio2.minPercent = 40\nfio2.maxPercent = 40\nfio2.meanPercent = 40.00\nfio2.rises = 0\nfio2.throughout = true"},
		{"set at its very start, no rise in it", "24 06:00 settings fio2Percent=40\n24 08:00 settings fio2Percent=50", when,
			"fio2.minPercent = 50\nfio2.maxPercent = 50\nfio2.rises = 0"},
		{"set a minute after its start", "24 06:00 settings fio2Percent=40\n24 08:01 settings fio2Percent=50", when,
			"fio2.minPercent = 40\nfio2.rises = 1"},
		{"set at its very end", "24 06:00 settings fio2Percent=40\n24 12:00 settings fio2Percent=50", when,
			"fio2.maxPercent = 50\nfio2.meanPercent = 40.00\nfio2.rises = 1"},
		{"time before the first does not count", "24 10:00 settings fio2Percent=30\n24 11:00 settings fio2Percent=40", when,
			"fio2.meanPercent = 35.00\nfio2.rises = 1\nfio2.throughout = false"},
		{"the first at the very end: no mean", "24 12:00 settings fio2Percent=30", when,
			"fio2.minPercent = 30\nfio2.meanPercent = left out: no time in the window\nfio2.rises = 0"},
		{"two at one moment: only the later is ever in force",
			"#7 24 06:00 settings fio2Percent=40\n#8 24 10:00 settings fio2Percent=60\n#9 24 10:00 settings fio2Percent=30", when, `
			fio2.minPercent = 30
			fio2.maxPercent = 40
			fio2.meanPercent = 35.00
			fio2.rises = 1`},
		{"the same again is no rise", "24 06:00 settings fio2Percent=30\n24 09:00 settings fio2Percent=30.0\n" +
			"24 10:00 settings pressureCmH2O=7", when, "fio2.rises = 0"},
		{"none in force", "24 06:00 settings pressureCmH2O=5", when, "fio2 = not charted"},
		// 2 h of 30, 1 h of 60
		{"over the night the clock goes back", "24 06:00 settings fio2Percent=30\n25 01:00b settings fio2Percent=60",
			"25 02:00 since 25 00:00", "fio2.meanPercent = 40.00"},
	})
}

func TestFiO2WithinSpells(t *testing.T) {
	const when = "24 12:00 since 24 08:00"
	rules(t, "", onCPAP+"24 06:00 settings fio2Percent=30\n", []rule{
		// 1 h and 1 h of 30, 1 h of 60
		{"a break is left out", "24 09:00 support state=stopped\n24 10:00 support state=started mode=cpap\n" +
			"24 11:00 settings fio2Percent=60", when, "fio2.meanPercent = 40.00\nfio2.rises = 1\nfio2.throughout = false"},
		{"the same after a break is not throughout", "24 09:00 support state=stopped\n24 09:30 support state=started mode=cpap", when,
			"fio2.minPercent = 30\nfio2.maxPercent = 30\nfio2.throughout = false"},
		// 1 h of 30, 2 h of 40
		{"a rise in a break counts", "24 09:00 support state=stopped\n24 09:30 settings fio2Percent=40\n" +
			"24 10:00 support state=started mode=cpap", when, "fio2.rises = 1\nfio2.meanPercent = 36.67"},
		{"set and set back in a break: a rise, never in force", "24 09:00 support state=stopped\n24 09:30 settings fio2Percent=90\n" +
			"24 09:40 settings fio2Percent=30\n24 10:00 support state=started mode=cpap", when, "fio2.rises = 1\nfio2.maxPercent = 30"},
		{"after a stop, the part before", "24 09:00 support state=stopped", when, "fio2.meanPercent = 30.00\nfio2.maxPercent = 30"},
		{"stopped at the very start of the window", "24 08:00 support state=stopped", when, "only fio2\nonly spo2"},
		{"stopped a minute after it", "24 08:01 support state=stopped", when, "fio2.meanPercent = 30.00\nspo2.count = 0"},
		{"a break over the whole window", "24 07:50 support state=stopped\n24 08:50 support state=started mode=cpap",
			"24 08:40 since 24 08:00", "only fio2"},
		{"at a moment in a break", "24 11:30 support state=stopped\n24 12:10 support state=started mode=cpap\n" +
			"24 12:10 settings fio2Percent=90", when, "fio2.maxPercent = 30\nfio2.rises = 0"},
		{"set at the very moment of the stop: of no spell", "24 09:00 support state=stopped\n24 09:00 settings fio2Percent=90", when,
			"fio2.maxPercent = 30\nfio2.rises = 0\nfio2.meanPercent = 30.00"},
		{"the next spell brings its own", "24 09:00 support state=stopped\n24 11:00 support state=started mode=cpap\n24 11:00 settings " +
			"fio2Percent=50", when, "fio2.minPercent = 30\nfio2.maxPercent = 50\nfio2.meanPercent = 40.00\nfio2.rises = 0"},
		{"charted before its spell: the setting before, no rise",
			"24 09:00 support state=stopped\n24 10:45 settings fio2Percent=50\n24 11:00 support state=started mode=cpap\n" +
				"24 11:00 settings fio2Percent=60", when, "fio2.rises = 1\nfio2.minPercent = 30\nfio2.maxPercent = 60"},
	})
	rules(t, "", admitted, []rule{
		{"never on support", "", when, "only fio2\nonly spo2\nonly indices"},
		{"on from this very moment", "24 12:00 support state=started mode=cpap", when,
			"fio2 = not charted\nspo2.count = 0\nindices = not charted\nhoursUnder = not charted"},
		{"on from this very moment, with its setting", "24 12:00 support state=started mode=cpap\n24 12:00 settings fio2Percent=30", when,
			"fio2.minPercent = 30\nfio2.meanPercent = left out: no time in the window"},
		{"set at the one moment of the window: the old is not in it",
			"24 06:00 support state=started mode=cpap\n24 06:00 settings fio2Percent=30\n24 12:00 settings fio2Percent=40",
			"24 12:00 since 24 12:00", "fio2.minPercent = 40\nfio2.maxPercent = 40"},
		{"stopped at the one moment of the window", "24 06:00 support state=started mode=cpap\n24 06:00 settings fio2Percent=30\n" +
			"24 12:00 support state=stopped", "24 12:00 since 24 12:00", "only fio2\nonly spo2"},
		{"a window of one moment", "24 06:00 support state=started mode=cpap\n24 06:00 settings fio2Percent=30", "24 12:00 since 24 12:00",
			"fio2.maxPercent = 30\nfio2.meanPercent = left out: no time in the window\nspo2.count = 0"},
	})
	// Beside the mean stands that of as long a time before the window.
	rules(t, "", onCPAP+"24 06:00 settings fio2Percent=30\n", []rule{
		// 06:00 to 08:00
		{"the mean before", "24 07:00 settings fio2Percent=40", when, "fio2.meanPercent = 40.00\nfio2.meanBefore = 35.00"},
		{"none in force before", "", "24 12:00 since 24 06:00", "fio2.meanPercent = 30.00\nfio2.meanBefore = -"},
	})
}

// SpO2 is counted against the target in force at its moment; settings of the same
// moment apply.
func TestSpO2InTarget(t *testing.T) {
	const when = "24 12:00 since 24 08:00"
	counts := func(count, below, in, above, none string) string {
		return "spo2.count = " + count + "\nspo2.below = " + below + "\nspo2.inTarget = " + in + "\nspo2.above = " + above +
			"\nspo2.noTarget = " + none
	}
	const target = "24 06:00 settings fio2Percent=30 spo2LowPercent=90 spo2HighPercent=94\n"
	rules(t, "", onCPAP, []rule{
		{"bounds are in", target + "24 09:00 observations spo2Percent=89\n24 09:10 observations spo2Percent=90\n" +
			"24 09:20 observations spo2Percent=94\n24 09:30 observations spo2Percent=95", when, counts("4", "1", "2", "1", "0")},
		{"of the window", target + "24 08:00 observations spo2Percent=92\n24 08:01 observations spo2Percent=92\n" +
			"24 12:00 observations spo2Percent=92", when, counts("2", "0", "2", "0", "0")},
		{"settings of the same moment apply", target + "#9 24 09:00 settings spo2LowPercent=93\n#8 24 09:00 observations spo2Percent=92",
			when, counts("1", "1", "0", "0", "0")},
		{"settings a minute later do not", target + "24 09:01 settings spo2LowPercent=93\n24 09:00 observations spo2Percent=92", when,
			counts("1", "0", "1", "0", "0")},
		{"no target", "24 06:00 settings fio2Percent=30\n24 09:00 observations spo2Percent=92", when, counts("1", "0", "0", "0", "1")},
		{"one bound only", "24 06:00 settings fio2Percent=30 spo2LowPercent=90\n24 09:00 observations spo2Percent=80", when,
			counts("1", "0", "0", "0", "1")},
		{"in air the lower one is a target", "24 06:00 settings fio2Percent=21 spo2LowPercent=90\n24 09:00 observations spo2Percent=80\n" +
			"24 09:10 observations spo2Percent=100", when, counts("2", "1", "1", "0", "0")},
		{"in air the upper one is none", "24 06:00 settings fio2Percent=21 spo2HighPercent=95\n24 09:00 observations spo2Percent=100",
			when, counts("1", "0", "0", "0", "1")},
		{"without FiO2 it is not known to be air", "24 06:00 settings spo2LowPercent=90 spo2HighPercent=94\n" +
			"24 09:00 observations spo2Percent=99", when, counts("1", "0", "0", "1", "0")},
		{"air at its moment, not now", target + "24 08:30 settings fio2Percent=21\n24 09:00 observations spo2Percent=99\n" +
			"24 10:00 settings fio2Percent=30\n24 10:00 observations spo2Percent=99", when, counts("2", "0", "1", "1", "0")},
		{"not before the spell, from its very start", target + "24 05:59 observations spo2Percent=92\n" +
			"24 06:00 observations spo2Percent=92", "24 12:00 since 24 05:00", counts("1", "0", "1", "0", "0")},
		{"not at the spell's very end", target + "24 08:59 observations spo2Percent=92\n24 09:00 observations spo2Percent=92\n" +
			"24 09:00 support state=stopped", when, counts("1", "0", "1", "0", "0")},
		{"not in a break", target + "24 09:00 support state=stopped\n24 09:00 observations spo2Percent=92\n" +
			"24 09:30 observations spo2Percent=92\n24 10:00 support state=started mode=cpap\n24 10:00 observations spo2Percent=92", when,
			counts("1", "0", "1", "0", "0")},
		{"0 is a reading", target + "24 09:00 observations spo2Percent=0", when, counts("1", "1", "0", "0", "0")},
	})
}

// Indices are from the latest SpO2 of the current spell, if it is not older than
// twice the interval of observations, and from what was set then.
func TestIndices(t *testing.T) {
	const set = "24 06:00 settings pressureCmH2O=6 fio2Percent=30\n"
	rules(t, "", onCPAP+set, []rule{
		{"twice the interval old", "#9 24 10:00 observations spo2Percent=93", "24 12:00",
			"indices.sf = 310.00\nindices.severity = 1.80\nindices.osi = -\nindices.source = #9 24 10:00 n"},
		{"a minute older", "24 10:00 observations spo2Percent=93", "24 12:01", "indices = not charted"},
		{"as it was set then", "24 10:00 observations spo2Percent=93\n24 10:30 settings fio2Percent=60 pressureCmH2O=8", "24 12:00",
			"indices.sf = 310.00\nindices.severity = 1.80"},
		{"as it was set at that very moment", "24 10:00 observations spo2Percent=90\n24 10:00 settings fio2Percent=60", "24 12:00",
			"indices.sf = 150.00\nindices.severity = 3.60"},
		{"an SpO2 of 0 is none", "24 09:50 observations spo2Percent=93\n24 10:00 observations spo2Percent=0", "24 11:00",
			"indices.sf = 310.00"},
		{"no SpO2 of this spell", "24 05:59 observations spo2Percent=93", "24 07:00", "indices = not charted"},
		{"at the spell's very start", "24 06:00 observations spo2Percent=93", "24 07:00", "indices.sf = 310.00"},
		{"by a plan's interval", "24 06:00 plan what=observations every=4h reason=sleep\n24 06:30 observations spo2Percent=93", "24 14:30",
			"indices.sf = 310.00"},
		{"by a plan of none: 2 h in all", "24 06:00 plan what=observations every=none reason=sleep\n24 06:30 observations spo2Percent=93",
			"24 08:30", "indices.sf = 310.00"},
		{"by a plan of none, a minute older", "24 06:00 plan what=observations every=none reason=sleep\n" +
			"24 06:30 observations spo2Percent=93", "24 08:31", "indices = not charted"},
		{"as the mode was then, away and back since",
			"24 10:00 observations spo2Percent=93\n24 10:10 support state=changed mode=high-flow\n" +
				"24 10:20 support state=changed mode=cpap", "24 11:00", "indices.severity = 1.80\nsettings.pressureCmH2O = not charted"},
		{"off support", "24 10:00 observations spo2Percent=93\n24 11:00 support state=stopped", "24 11:00", "only indices"},
	})
	rules(t, "", onCPAP, []rule{
		{"no pressure", "24 06:00 settings fio2Percent=30\n24 10:00 observations spo2Percent=93", "24 11:00",
			"indices.sf = 310.00\nindices.severity = not charted"},
		{"no FiO2", "24 06:00 settings pressureCmH2O=6\n24 10:00 observations spo2Percent=93", "24 11:00",
			"indices.sf = not charted\nindices.severity = not charted"},
	})
	rules(t, `{"indices":["sf","severity","osi"]}`, admitted+"24 06:00 support state=started mode=high-flow\n", []rule{
		{"high-flow has no pressure", set + "24 10:00 observations spo2Percent=93", "24 11:00",
			"indices.sf = 310.00\nindices.severity = -\nindices.osi = -"},
	})
	rules(t, `{"indices":["severity"]}`, admitted+"24 06:00 support state=started mode=high-flow\n", []rule{
		{"none that applies", set + "24 10:00 observations spo2Percent=93", "24 11:00", "only indices"},
	})
}

func TestEpisodes(t *testing.T) {
	const some = `
23 12:00 episode signs=apnoea recovered=bagged
#6 23 12:01 episode signs=apnoea,bradycardia recovered=touched
24 08:00 episode signs=bradycardia recovered=by-itself
24 08:01 episode signs=desaturation,bradycardia recovered=by-itself
24 12:00 episode signs=apnoea recovered=by-itself
24 12:01 episode signs=apnoea recovered=bagged
`
	rules(t, "", onCPAP, []rule{
		{"none charted is 0", "", "24 12:00", "episodes.window = 0, signs [0 0 0], recovered [0 0 0 0 0]\nepisodes.helped = -"},
		{"the window's start is out, its end in", some, "24 12:00 since 24 08:00",
			"episodes.window = 2, signs [1 1 1], recovered [2 0 0 0 0]"},
		{"24 h, their start out", some, "24 12:00 since 24 08:00", "episodes.day = 4, signs [2 3 1], recovered [3 1 0 0 0]"},
		{"the last that needed help, of the stay", some, "24 12:00 since 24 08:00", "episodes.helped = #6 23 12:01 n"},
		{"24 h where the clock goes back", "24 13:00 episode signs=apnoea recovered=touched\n" +
			"24 13:01 episode signs=apnoea recovered=touched", "25 12:00", "episodes.day = 1, signs [1 0 0], recovered [0 1 0 0 0]"},
	})
}

func TestLatestObservations(t *testing.T) {
	rules(t, "", onCPAP, []rule{
		{"each field by itself", "#5 2 07:00 observations spo2Percent=93 spo2Site=foot axillaryC=36.8\n" +
			"#6 24 07:00 observations heartRateBpm=150 fio2Percent=31.5\n#7 24 08:00 observations heartRateBpm=151", "24 09:00", `
			observations.spo2Percent = 93
			observations.spo2Percent.source = #5 2 07:00 n
			observations.spo2Site = foot
			observations.spo2Site.source = #5 2 07:00 n
			observations.axillaryC = 36.8
			observations.axillaryC.source = #5 2 07:00 n
			observations.fio2Percent = 31.5
			observations.fio2Percent.source = #6 24 07:00 n
			observations.heartRateBpm = 151
			observations.heartRateBpm.source = #7 24 08:00 n
			only observations`},
	})
}
