package handover_test

import "testing"

// A spell runs from started to the stopped that ends it; a stop no longer than
// breakUpTo (an hour by default) is a break in it.
func TestSpell(t *testing.T) {
	rules(t, "", admitted, []rule{
		{"nothing charted", "", "24 12:00", "support.state = never\nsupport.since = -\nonly settings\nonly spo2\nonly fio2"},
		{"on from its very start", "#2 24 06:00 support state=started mode=cpap driver=t-1", "24 06:00", `
			support.state = on
			support.mode = cpap
			support.driver = t-1
			support.since = 24 06:00
			support.modeSince = 24 06:00
			support.source = #2 24 06:00 n`},
		{"not a minute before", "24 06:00 support state=started mode=cpap", "24 05:59", "support.state = never"},
		{"off from its very end", "24 06:00 support state=started mode=cpap\n#3 24 08:00 support state=stopped reason=weaned",
			"24 08:00", `
			support.state = off
			support.stoppedAt = 24 08:00
			support.reason = weaned
			support.mode = -
			support.source = #3 24 08:00 n`},
		{"changed stays in it", "24 06:00 support state=started mode=cpap driver=t-1\n#3 24 08:00 support state=changed mode=bilevel",
			"24 09:00", `
			support.mode = bilevel
			support.driver = t-1
			support.since = 24 06:00
			support.modeSince = 24 08:00
			support.source = #3 24 08:00 n
			only remarks`},
		{"started within it counts as changed",
			"24 06:00 support state=started mode=cpap\n24 08:00 support state=started mode=high-flow driver=t-2", "24 09:00", `
			support.mode = high-flow
			support.driver = t-2
			support.since = 24 06:00
			support.modeSince = 24 08:00`},
		{"another driver alone", "#2 24 06:00 support state=started mode=cpap driver=t-1\n24 08:00 support state=changed driver=t-2",
			"24 09:00", `
			support.driver = t-2
			support.modeSince = 24 06:00
			support.source = #2 24 06:00 n`},
		{"two modes at one moment, the later charted",
			"24 06:00 support state=started mode=cpap\n24 08:00 support state=changed mode=high-flow charted=\"24 08:10\"\n" +
				"24 08:00 support state=changed mode=bilevel charted=\"24 08:05\"", "24 09:00", `
			support.mode = high-flow
			support.modeSince = 24 08:00`},
		{"two modes at one moment, the greater id", "24 06:00 support state=started mode=cpap\n#9 24 08:00 support state=changed " +
			"mode=high-flow\n#8 24 08:00 support state=changed mode=bilevel", "24 09:00", "support.mode = high-flow"},
		{"two modes at one moment, ids the other way",
			"24 06:00 support state=started mode=cpap\n#8 24 08:00 support state=changed mode=high-flow\n" +
				"#9 24 08:00 support state=changed mode=bilevel", "24 09:00", "support.mode = bilevel"},
	})
}

func TestBreak(t *testing.T) {
	const stopped = "24 06:00 support state=started mode=cpap\n#3 24 08:00 support state=stopped reason=trial-off\n"
	rules(t, "", admitted, []rule{
		{"within it the infant is off", stopped + "24 08:30 support state=started mode=cpap", "24 08:29",
			"support.state = off\nsupport.reason = trial-off"},
		{"after it the spell has gone on", stopped + "24 08:30 support state=started mode=cpap", "24 08:30",
			"support.state = on\nsupport.since = 24 06:00\nonly remarks"},
		{"at breakUpTo, in", stopped + "24 09:00 support state=started mode=cpap", "24 10:00", "support.since = 24 06:00"},
		{"a minute over it", stopped + "24 09:01 support state=started mode=cpap", "24 10:00", "support.since = 24 09:01"},
		{"one after another", stopped + "24 09:00 support state=started mode=cpap\n24 09:10 support state=stopped\n" +
			"24 10:10 support state=started mode=cpap", "24 11:00", "support.since = 24 06:00"},
		{"of no length", stopped + "24 08:00 support state=started mode=high-flow", "24 08:00",
			"support.state = on\nsupport.since = 24 06:00\nsupport.mode = high-flow\nsupport.modeSince = 24 08:00"},
		{"by the clock that goes back: an hour and a half",
			"24 23:00 support state=started mode=cpap\n25 01:30 support state=stopped\n25 02:00 support state=started mode=cpap",
			"25 03:00", "support.since = 25 02:00"},
		{"by the clock that goes back: half an hour",
			"24 23:00 support state=started mode=cpap\n25 01:30b support state=stopped\n25 02:00 support state=started mode=cpap",
			"25 03:00", "support.since = 24 23:00"},
		{"at the hour that comes twice, an hour", "24 23:00 support state=started mode=cpap\n25 01:30 support state=stopped\n" +
			"25 01:30b support state=started mode=cpap", "25 03:00", "support.since = 24 23:00"},
	})
	rules(t, `{"support":{"breakUpTo":"45m"}}`, admitted, []rule{
		{"by policy, in", stopped + "24 08:45 support state=started mode=cpap", "24 10:00", "support.since = 24 06:00"},
		{"by policy, out", stopped + "24 08:46 support state=started mode=cpap", "24 10:00", "support.since = 24 08:46"},
	})
	rules(t, `{"timezone":"Australia/Lord_Howe"}`, "2026-04-01T12:00:00+11:00 admission born=2026-04-01 cot=7 mrn=1", []rule{
		// The clock goes back by half an hour at 02:00 of 5 April.
		{"where half an hour comes twice, an hour", "2026-04-05T01:00:00+11:00 support state=started mode=cpap\n" +
			"2026-04-05T01:45:00+11:00 support state=stopped\n2026-04-05T02:15:00+10:30 support state=started mode=cpap",
			"2026-04-05T03:00:00+10:30", "support.since = 2026-04-05T01:00:00+11:00"},
		{"where half an hour comes twice, a minute more", "2026-04-05T01:00:00+11:00 support state=started mode=cpap\n" +
			"2026-04-05T01:45:00+11:00 support state=stopped\n2026-04-05T02:16:00+10:30 support state=started mode=cpap",
			"2026-04-05T03:00:00+10:30", "support.since = 2026-04-05T02:16:00+10:30"},
	})
}

// What is charted outside a spell counts for nothing, with a remark.
func TestSupportOutsideASpell(t *testing.T) {
	rules(t, "", admitted, []rule{
		{"changed", "#3 24 08:00 support state=changed mode=cpap", "24 09:00",
			"support.state = never\nremarks.0 = #3 support changed outside a spell: counts for nothing"},
		{"stopped", "#3 24 08:00 support state=stopped reason=weaned", "24 09:00",
			"support.state = never\nremarks.0 = #3 support stopped outside a spell: counts for nothing"},
		{"stopped twice", "24 06:00 support state=started mode=cpap\n#3 24 08:00 support state=stopped reason=weaned\n" +
			"#4 24 08:10 support state=stopped reason=moved", "24 09:00", `
			support.stoppedAt = 24 08:00
			support.reason = weaned
			remarks.0 = #4 support stopped outside a spell: counts for nothing`},
		{"its start comes late", "#4 24 08:00 support state=changed mode=bilevel\n#5 24 07:00 support state=started mode=cpap " +
			"charted=\"24 10:00\"", "24 11:00", "support.mode = bilevel\nsupport.since = 24 07:00\nonly remarks"},
		{"its start withdrawn", "#4 24 07:00 support state=started mode=cpap\n#5 24 08:00 support state=stopped\n24 09:00 retraction " +
			"of=#4 reason=slip", "24 11:00", "support.state = never\nremarks.0 = #5 support stopped outside a spell: counts for nothing"},
	})
}

// A stay takes in what was since birth or, for a later one, since the discharge
// before it; but for head, weight and identity no fact goes on into the next.
func TestStays(t *testing.T) {
	const first = admitted + `
24 06:00 support state=started mode=cpap
24 06:00 settings pressureCmH2O=6 fio2Percent=30 spo2LowPercent=90 spo2HighPercent=95
24 06:00 interface type=mask size=S
24 07:00 skin sites=septum:stage-1
24 07:00 tube action=placed route=oral markCm=15
24 07:00 bonnet action=fitted size=bud
24 07:00 outlook severity=unstable
24 07:00 weight weightG=900
24 07:00 head circumferenceCm=25
`
	rules(t, "", first, []rule{
		{"the first", "", "24 08:00", "support.state = on\ninterface.type = mask\nskin.sites.septum.finding = stage-1\n" +
			"outlook.severity = unstable\nbonnet.size = bud"},
		{"left", "24 09:00 discharge to=ward", "24 10:00", "left.a.cot = 7\nleft.a.to = ward\nonly infants.a"},
		{"back", "24 09:00 discharge to=ward\n24 12:00 admission born=2026-10-01 cot=9 mrn=4711", "24 13:00", `
			support.state = never
			cot = 9
			skin.worst = -
			tubes = not charted
			outlook.severity = -
			interface.type = -
			head.circumferenceCm = 25
			weight.weightG = 900
			sex = female
			age.gestation = 27+0
			only left
			only bonnet`},
		{"what is between belongs to the stay to come", "24 09:00 discharge to=ward\n24 11:00 tube action=placed route=nasal markCm=16\n" +
			"24 12:00 admission born=2026-10-01 cot=9 mrn=4711", "24 13:00", "tubes.feeding.route = nasal"},
		{"at the very discharge, of the stay it ends", "24 09:00 discharge to=ward\n24 09:00 tube action=placed route=nasal markCm=16\n" +
			"24 12:00 admission born=2026-10-01 cot=9 mrn=4711", "24 13:00", "tubes = not charted"},
		{"back at the very discharge", "24 09:00 discharge to=ward\n24 09:00 admission born=2026-10-01 cot=9 mrn=4711", "24 09:00",
			"cot = 9\nsupport.state = never\nonly left"},
		{"the target of SpO2 stays behind too", "24 09:00 discharge to=ward\n24 12:00 admission born=2026-10-01 cot=9 mrn=4711\n" +
			"24 12:00 support state=started mode=cpap", "24 13:00", "settings.spo2LowPercent = not charted"},
	})
	rules(t, "", "", []rule{
		{"since birth", "24 05:30 settings pressureCmH2O=6\n24 05:30 support state=started mode=cpap\n" +
			"24 08:00 admission born=\"24 05:00\" cot=7 mrn=1", "24 09:00", "support.since = 24 05:30\nsettings.pressureCmH2O = 6"},
		{"before admission nobody is there", "24 05:30 support state=started mode=cpap\n24 08:00 admission born=\"24 05:00\" cot=7 mrn=1",
			"24 07:59", "only infants.a"},
	})
}

// A correction can leave a stay without its beginning: that counts for nothing.
func TestStrayAdmissionsAndDischarges(t *testing.T) {
	rules(t, "", admitted, []rule{
		{"a second admission", "#5 24 09:00 discharge to=ward\n#6 24 12:00 admission born=2026-10-02 cot=9 mrn=4719 family=Larch " +
			"sex=male\n24 13:00 retraction of=#5 reason=slip", "24 14:00", `
			cot = 7
			mrn = 4711
			family = -
			sex = female
			age.dayOfLife = 23
			remarks.0 = #6 a second admission without a discharge: counts for nothing`},
		{"a discharge of nobody", "#5 24 09:00 discharge to=ward\n#6 24 12:00 admission born=2026-10-01 cot=9 mrn=4711\n" +
			"#7 24 13:00 discharge to=home\n24 14:00 retraction of=#6 reason=slip", "24 14:00", "only infants.a\nleft.a.to = ward"},
		{"a discharge of nobody, and back", "#5 24 09:00 discharge to=ward\n#6 24 10:00 admission born=2026-10-01 cot=9 mrn=4711\n" +
			"#7 24 11:00 discharge to=home\n#8 24 12:00 admission born=2026-10-01 cot=10 mrn=4711\n24 13:00 retraction of=#6 reason=slip",
			"24 14:00", "cot = 10\nremarks.0 = #7 a discharge without an admission: counts for nothing\nonly remarks"},
	})
}
