package handover_test

import "testing"

func TestSettings(t *testing.T) {
	rules(t, "", onCPAP, []rule{
		{"a field left out stays as it was", "#3 24 06:00 settings pressureCmH2O=5.0 fio2Percent=30\n" +
			"#4 24 08:00 settings fio2Percent=28 by=m", "24 09:00", `
			settings.pressureCmH2O = 5.0
			settings.pressureCmH2O.source = #3 24 06:00 n
			settings.fio2Percent = 28
			settings.fio2Percent.source = #4 24 08:00 m
			settings.flowLMin = not charted
			settings.spo2LowPercent = not charted
			settings.spo2HighPercent = not charted
			only settings`},
		{"what comes later is not seen", "24 06:00 settings fio2Percent=30\n24 09:01 settings fio2Percent=28", "24 09:00",
			"settings.fio2Percent = 30"},
		{"one moment, the later charted", "24 08:00 settings fio2Percent=30 charted=\"24 08:09\"\n" +
			"24 08:00 settings fio2Percent=28 charted=\"24 08:04\"", "24 09:00", "settings.fio2Percent = 30"},
		{"one moment, the greater id", "#8 24 08:00 settings fio2Percent=30\n#7 24 08:00 settings fio2Percent=28", "24 09:00",
			"settings.fio2Percent = 30"},
		{"one moment, ids the other way", "#7 24 08:00 settings fio2Percent=30\n#8 24 08:00 settings fio2Percent=28", "24 09:00",
			"settings.fio2Percent = 28"},
		{"charted late, said so", "#8 24 08:00 settings fio2Percent=30 charted=\"24 08:03\"", "24 09:00",
			"settings.fio2Percent.source = #8 24 08:00 n charted 24 08:03"},
		{"charted by a clock that is ahead, within the tolerance", "#8 24 08:00 settings fio2Percent=30 charted=\"24 07:58\"", "24 09:00",
			"settings.fio2Percent.source = #8 24 08:00 n"},
		{"charted within the clock tolerance", "#8 24 08:00 settings fio2Percent=30 charted=\"24 08:02\"", "24 09:00",
			"settings.fio2Percent.source = #8 24 08:00 n"},

		{"half an hour before the spell, in", "24 05:30 settings fio2Percent=30", "24 09:00", "settings.fio2Percent = 30"},
		{"a minute earlier, out", "24 05:29 settings fio2Percent=30", "24 09:00", "settings.fio2Percent = not charted"},
		{"at its very start", "24 06:00 settings fio2Percent=30", "24 06:00", "settings.fio2Percent = 30"},
		{"in a break", "24 06:00 settings fio2Percent=30\n24 08:00 support state=stopped\n24 08:30 settings fio2Percent=40\n" +
			"24 09:00 support state=started mode=cpap", "24 09:00", "settings.fio2Percent = 40"},
		{"the target, whenever charted in the stay", "2 08:00 settings spo2LowPercent=90 spo2HighPercent=95", "24 09:00",
			"settings.spo2LowPercent = 90\nsettings.spo2HighPercent = 95"},
		{"the target through a spell without one", "24 06:30 settings spo2LowPercent=91\n24 07:00 support state=stopped\n" +
			"24 09:00 support state=started mode=low-flow", "24 10:00",
			"settings.spo2LowPercent = 91\nsettings.fio2Percent = not charted"},
	})
	rules(t, `{"support":{"breakUpTo":"5m"}}`, onCPAP+"24 08:00 support state=stopped\n24 08:20 support state=started mode=cpap", []rule{
		{"of the spell before", "24 07:59 settings fio2Percent=30", "24 09:00", "settings.fio2Percent = not charted"},
		{"at the very end of the spell before", "24 08:00 settings fio2Percent=30", "24 09:00", "settings.fio2Percent = 30"},
		{"between the two", "24 08:19 settings fio2Percent=30", "24 09:00", "settings.fio2Percent = 30"},
	})
}

// Which settings apply in which mode; rate, upper pressure and inspiratory time
// are shown where they were charted, and are no gap.
func TestSettingsByMode(t *testing.T) {
	const all = "24 06:00 settings pressureCmH2O=6 upperPressureCmH2O=10 rateMin=30 inspiratoryS=0.50 fio2Percent=30 flowLMin=8 " +
		"spo2LowPercent=90 spo2HighPercent=95\n"
	rules(t, "", admitted, []rule{
		{"cpap", "24 06:00 support state=started mode=cpap\n" + all, "24 07:00", `
			settings.pressureCmH2O = 6
			settings.fio2Percent = 30
			settings.flowLMin = 8
			settings.upperPressureCmH2O = -
			settings.rateMin = -
			settings.inspiratoryS = -`},
		{"bilevel", "24 06:00 support state=started mode=bilevel\n" + all, "24 07:00",
			"settings.pressureCmH2O = 6\nsettings.upperPressureCmH2O = 10\nsettings.rateMin = 30\nsettings.inspiratoryS = 0.50"},
		{"ventilation, not charted", "24 06:00 support state=started mode=ventilation", "24 07:00",
			"settings.pressureCmH2O = not charted\nsettings.rateMin = -\nsettings.upperPressureCmH2O = -\nsettings.inspiratoryS = -"},
		{"high-flow", "24 06:00 support state=started mode=high-flow\n" + all, "24 07:00",
			"settings.pressureCmH2O = -\nsettings.flowLMin = 8\nsettings.fio2Percent = 30\nsettings.spo2LowPercent = 90"},
		{"low-flow", "24 06:00 support state=started mode=low-flow\n" + all, "24 07:00",
			"settings.pressureCmH2O = -\nsettings.flowLMin = 8"},
		{"off", "24 06:00 support state=started mode=cpap\n" + all + "24 06:30 support state=stopped", "24 07:00", "only settings"},
	})
}

// A set pressure holds only while the mode has one; a change back needs a new one,
// from half an hour before it on.
func TestPressureAfterAChangeBack(t *testing.T) {
	const away = onCPAP + "24 06:00 settings pressureCmH2O=6\n24 08:00 support state=changed mode=high-flow\n" +
		"24 12:00 support state=changed mode=cpap\n"
	rules(t, "", away, []rule{
		{"none is charted anew", "", "24 12:00", "settings.pressureCmH2O = not charted"},
		{"half an hour before, in", "24 11:30 settings pressureCmH2O=7", "24 12:00", "settings.pressureCmH2O = 7"},
		{"a minute earlier, out", "24 11:29 settings pressureCmH2O=7", "24 12:00", "settings.pressureCmH2O = not charted"},
		{"after it", "24 12:10 settings pressureCmH2O=7", "24 12:10", "settings.pressureCmH2O = 7"},
		{"the severity score waits too", "24 12:20 observations spo2Percent=93\n24 12:00 settings fio2Percent=30", "24 12:30",
			"indices.severity = not charted\nindices.sf = 310.00"},
	})
	rules(t, "", onCPAP+"24 06:00 settings pressureCmH2O=6\n", []rule{
		{"between modes that have one", "24 08:00 support state=changed mode=bilevel\n24 09:00 support state=changed mode=ventilation\n" +
			"24 10:00 support state=changed mode=cpap", "24 11:00", "settings.pressureCmH2O = 6"},
		{"away and back at one moment", "#8 24 08:00 support state=changed mode=high-flow\n#9 24 08:00 support state=changed mode=cpap",
			"24 09:00", "settings.pressureCmH2O = 6"},
		{"high-flow over a break", "24 08:00 support state=stopped\n24 08:20 support state=started mode=high-flow\n" +
			"24 09:00 support state=changed mode=cpap", "24 10:00", "settings.pressureCmH2O = not charted"},
	})
	rules(t, "", admitted+"24 06:00 support state=started mode=high-flow\n24 06:20 support state=changed mode=cpap\n", []rule{
		{"before the spell and half an hour before the change", "24 05:50 settings pressureCmH2O=6", "24 07:00",
			"settings.pressureCmH2O = 6"},
		{"before the spell, earlier than that", "24 05:49 settings pressureCmH2O=6", "24 07:00", "settings.pressureCmH2O = not charted"},
	})
}
