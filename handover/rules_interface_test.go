package handover_test

import "testing"

func TestInterface(t *testing.T) {
	rules(t, "", onCPAP, []rule{
		{"nobody charted one", "", "24 08:00", "interface = not charted"},
		{"type and size", "#3 24 06:00 interface type=mask size=S", "24 08:00",
			"interface.type = mask\ninterface.size = S\ninterface.since = 24 06:00\ninterface.source = #3 24 06:00 n"},
		{"size never charted", "24 06:00 interface type=mask", "24 08:00", "interface.size = not charted"},
		{"the same again: since then as before", "#3 24 06:00 interface type=mask size=S\n24 07:00 interface type=mask size=S", "24 08:00",
			"interface.since = 24 06:00\ninterface.source = #3 24 06:00 n"},
		{"size left out on the same type: as it was", "#3 24 06:00 interface type=mask size=S\n24 07:00 interface type=mask", "24 08:00",
			"interface.size = S\ninterface.since = 24 06:00"},
		{"another size", "24 06:00 interface type=mask size=S\n#4 24 07:00 interface type=mask size=M", "24 08:00",
			"interface.size = M\ninterface.since = 24 07:00\ninterface.source = #4 24 07:00 n"},
		{"another type has its own size", "24 06:00 interface type=mask size=S\n24 07:00 interface type=prongs", "24 08:00",
			"interface.type = prongs\ninterface.size = not charted\ninterface.since = 24 07:00"},
		{"off", "24 06:00 interface type=mask size=S\n#4 24 07:00 interface type=off", "24 08:00",
			"interface.type = off\ninterface.size = -\ninterface.since = 24 07:00\ninterface.source = #4 24 07:00 n"},
		{"off twice", "24 06:00 interface type=mask\n#4 24 07:00 interface type=off\n24 07:10 interface type=off", "24 08:00",
			"interface.since = 24 07:00\ninterface.source = #4 24 07:00 n"},
		{"on again after off, of the same size", "24 06:00 interface type=mask size=S\n24 07:00 interface type=off\n" +
			"24 07:05 interface type=mask", "24 08:00", "interface.size = S\ninterface.since = 24 07:05"},
		{"off and on at one moment: off comes first", "24 06:00 interface type=mask size=S\n#9 24 07:00 interface type=off\n" +
			"#4 24 07:00 interface type=mask size=S", "24 08:00", "interface.type = mask\ninterface.since = 24 07:00"},
		{"from before the spell", "#3 24 05:00 interface type=mask size=S", "24 08:00",
			"interface.type = mask\ninterface.since = 24 05:00\ninterface.source = #3 24 05:00 n"},
		{"in a break", "24 06:00 interface type=mask\n24 07:00 support state=stopped\n24 07:10 interface type=prongs\n" +
			"24 07:20 support state=started mode=cpap", "24 08:00", "interface.type = prongs\ninterface.since = 24 07:10"},
		{"a stop takes nothing off", "24 06:00 interface type=mask\n24 07:00 support state=stopped\n" +
			"24 10:00 support state=started mode=cpap", "24 11:00", "interface.type = mask\ninterface.since = 24 06:00"},
		{"off support it does not apply", "24 06:00 interface type=mask\n24 07:00 support state=stopped", "24 07:30",
			"only interface\nonly rotation"},
	})
}

// The run is the stretch of mask or prongs that the rotation is counted from. The
// policy is 4 h due, 6 h overdue, and a rest of 1 h.
func TestRun(t *testing.T) {
	const masked = "24 06:00 interface type=mask size=S\n"
	rules(t, "", onCPAP, []rule{
		{"from the first of its type", masked, "24 08:00",
			"rotation.dueAt = 24 10:00\nrotation.overdueAt = 24 12:00\nrotation.state = not-due\nonly rotation.last"},
		{"from the spell's start if it was on then", "24 03:00 interface type=mask", "24 08:00", "rotation.dueAt = 24 10:00"},
		{"from after the spell's start", "24 06:30 interface type=mask", "24 08:00", "rotation.dueAt = 24 10:30"},
		{"the same type again goes on", masked + "24 07:00 interface type=mask size=M reason=resize", "24 08:00",
			"rotation.dueAt = 24 10:00"},
		{"prongs over mask at the spell's start is no rotation", "24 05:00 interface type=mask\n24 06:00 interface type=prongs",
			"24 08:00", "rotation.dueAt = 24 10:00\nonly rotation.last"},
		{"a short off goes on", masked + "24 07:00 interface type=off\n24 07:59 interface type=mask", "24 08:00",
			"rotation.dueAt = 24 10:00"},
		{"a rest of exactly an hour starts afresh", masked + "24 07:00 interface type=off\n24 08:00 interface type=mask", "24 09:00",
			"rotation.dueAt = 24 12:00\nonly rotation.last"},
		{"off still going on: state off, times of the last run", masked + "24 07:00 interface type=off", "24 10:30",
			"rotation.state = off\nrotation.dueAt = 24 10:00\nrotation.overdueAt = 24 12:00\ndue.rotation = -"},
		{"cannula counts as off", masked + "24 07:00 interface type=cannula\n24 08:00 interface type=mask", "24 09:00",
			"rotation.dueAt = 24 12:00"},
		{"cannula, shorter", masked + "24 07:00 interface type=cannula\n24 07:59 interface type=mask", "24 09:00",
			"rotation.dueAt = 24 10:00"},
		{"off, then cannula: one stretch", masked + "24 07:00 interface type=off\n24 07:30 interface type=cannula\n" +
			"24 08:00 interface type=mask", "24 09:00", "rotation.dueAt = 24 12:00"},
		{"an hour off over the clock that goes back", "24 23:00 interface type=mask\n25 01:30 interface type=off\n" +
			"25 01:30b interface type=mask", "25 02:00", "rotation.dueAt = 25 05:30"},
		{"half an hour off over it, a day later by the clock", "24 23:00 interface type=mask\n25 01:45 interface type=off\n" +
			"25 01:15b interface type=mask", "25 02:00", "rotation.dueAt = 25 02:00"},
		{"a break goes on", masked + "24 07:00 support state=stopped\n24 07:59 support state=started mode=cpap", "24 08:30",
			"rotation.dueAt = 24 10:00"},
		{"a new spell starts afresh", masked + "24 07:00 support state=stopped\n24 08:01 support state=started mode=cpap", "24 08:30",
			"rotation.dueAt = 24 12:01"},
		{"cannula only", "24 06:00 interface type=cannula", "24 08:00",
			"rotation.state = off\nrotation.dueAt = not charted\nrotation.overdueAt = not charted"},
	})
}

func TestLastRotation(t *testing.T) {
	const masked = "24 06:00 interface type=mask size=S\n"
	rules(t, "", onCPAP, []rule{
		{"mask to prongs", masked + "#5 24 09:00 interface type=prongs reason=rotation", "24 10:00",
			"rotation.last.from = mask\nrotation.last.to = prongs\nrotation.last.source = #5 24 09:00 n\nrotation.dueAt = 24 13:00"},
		{"the latest", masked + "24 08:00 interface type=prongs\n#6 24 09:00 interface type=mask", "24 10:00",
			"rotation.last.from = prongs\nrotation.last.to = mask\nrotation.last.source = #6 24 09:00 n"},
		{"whatever reason is charted", masked + "#5 24 09:00 interface type=prongs reason=soiled", "24 10:00",
			"rotation.last.source = #5 24 09:00 n"},
		{"looking through off", masked + "24 08:00 interface type=off\n#5 24 08:30 interface type=prongs", "24 10:00",
			"rotation.last.from = mask\nrotation.last.source = #5 24 08:30 n\nrotation.dueAt = 24 12:30"},
		{"looking through cannula", masked + "24 08:00 interface type=cannula\n#5 24 08:30 interface type=prongs", "24 10:00",
			"rotation.last.source = #5 24 08:30 n"},
		{"looking through a rest", masked + "24 08:00 interface type=off\n#5 24 10:00 interface type=prongs", "24 10:30",
			"rotation.last.source = #5 24 10:00 n\nrotation.dueAt = 24 14:00"},
		{"on again after a rest: the rotation before it", masked + "#5 24 07:00 interface type=prongs\n24 08:00 interface type=off\n" +
			"24 09:30 interface type=prongs", "24 10:00", "rotation.last.source = #5 24 07:00 n\nrotation.dueAt = 24 13:30"},
		{"mask to mask is none, and said so", masked + "#5 24 09:00 interface type=mask size=M reason=rotation", "24 10:00",
			"only rotation.last\nrotation.dueAt = 24 10:00\nremarks.0 = #5 called a rotation, but mask to mask"},
		{"mask to mask over off is none either", masked + "24 09:00 interface type=off\n#5 24 09:10 interface type=mask reason=rotation",
			"24 10:00", "only rotation.last\nremarks.0 = #5 called a rotation, but mask to mask"},
		{"of this spell only", masked + "24 07:00 interface type=prongs\n24 08:00 support state=stopped\n" +
			"24 10:00 support state=started mode=cpap", "24 11:00", "only rotation.last"},
		{"of one moment, the greater id", masked + "#8 24 09:00 interface type=mask\n#9 24 09:00 interface type=prongs", "24 10:00",
			"rotation.last.source = #9 24 09:00 n\ninterface.type = prongs"},
	})
}

// From the very moment on, and by elapsed time.
func TestRotationState(t *testing.T) {
	const masked = onCPAP + "24 06:00 interface type=mask\n"
	states := []rule{
		{"a minute before", "", "24 09:59", "rotation.state = not-due\ndue.rotation = -"},
		{"due", "", "24 10:00", "rotation.state = due\ndue.rotation = due 24 10:00\ndue.rotation.overdueAt = 24 12:00"},
		{"a minute before overdue", "", "24 11:59", "rotation.state = due"},
		{"overdue", "", "24 12:00", "rotation.state = overdue\ndue.rotation = overdue 24 10:00"},
		{"a plan of its own keeps the distance", "24 06:00 plan what=rotation every=1h reason=sore", "24 07:00",
			"rotation.dueAt = 24 07:00\nrotation.overdueAt = 24 09:00\nrotation.state = due\nplans.rotation.every = 1h"},
		{"a plan of none", "24 06:00 plan what=rotation every=none reason=sore", "24 12:00",
			"rotation.dueAt = -\nrotation.state = -\ndue.rotation = -"},
		{"a plan of none keeps the last", "24 07:00 interface type=prongs\n24 06:00 plan what=rotation every=none reason=sore", "24 12:00",
			"rotation.last.to = prongs"},
	}
	rules(t, "", masked, states)
	rules(t, `{"every":{"rotationDue":"none","rotationOverdue":"none"}}`, masked, []rule{
		{"policy of none", "", "24 12:00", "rotation.dueAt = -\nrotation.overdueAt = -\nrotation.state = -\ndue.rotation = -"},
		{"policy of none, a plan: 2 h apart", "24 06:00 plan what=rotation every=3h reason=sore", "24 11:00",
			"rotation.dueAt = 24 09:00\nrotation.overdueAt = 24 11:00\nrotation.state = overdue"},
	})
	rules(t, `{"every":{"rotationDue":"3h","rotationOverdue":"8h"}}`, masked, []rule{
		{"a plan keeps the distance of this policy", "24 06:00 plan what=rotation every=1h reason=sore", "24 07:00",
			"rotation.dueAt = 24 07:00\nrotation.overdueAt = 24 12:00"},
	})
	rules(t, `{"every":{"rotationOverdue":"none"}}`, masked, []rule{
		{"never overdue", "", "24 20:00", "rotation.dueAt = 24 10:00\nrotation.overdueAt = -\nrotation.state = due"},
	})
	rules(t, `{"rotation":{"types":"none"}}`, masked, []rule{
		{"types none", "24 07:00 interface type=prongs", "24 12:00", "rotation.dueAt = -\nrotation.state = -\nrotation.last.to = prongs"},
	})
	rules(t, "", admitted+"24 06:00 support state=started mode=high-flow\n24 06:00 interface type=mask\n", []rule{
		{"high-flow has no rotation", "", "24 12:00", "only rotation"},
		{"what was on through it goes on in the run", "24 12:00 support state=changed mode=cpap", "24 13:00", "rotation.dueAt = 24 10:00"},
	})
}

// Hours of the 24 up to the moment, from their very start on, within spells.
func TestHoursUnderTheInterface(t *testing.T) {
	rules(t, "", onCPAP, []rule{
		{"by type, and under any", "24 06:00 interface type=mask\n24 08:30 interface type=prongs", "24 12:00", `
			hoursUnder.bridge = 2.50
			hoursUnder.septum = 3.50
			hoursUnder.philtrum = 6.00
			hoursUnder.forehead = 6.00
			hoursUnder.cheek-left = 2.50`},
		// since 24 13:00 IST
		{"24 h and no more", "24 06:00 interface type=mask\n25 02:00 interface type=prongs", "25 12:00",
			"hoursUnder.bridge = 14.00\nhoursUnder.septum = 10.00\nhoursUnder.forehead = 24.00"},
		{"off and breaks left out", "24 06:00 interface type=mask\n24 07:00 interface type=off\n24 08:00 interface type=mask\n" +
			"24 09:00 support state=stopped\n24 10:00 support state=started mode=cpap", "24 12:00",
			"hoursUnder.bridge = 4.00\nhoursUnder.forehead = 4.00"},
		{"time before the first known counts nothing", "24 08:00 interface type=mask", "24 12:00", "hoursUnder.bridge = 4.00"},
		{"on since before the spell", "24 04:00 interface type=mask", "24 12:00", "hoursUnder.bridge = 6.00"},
		{"nobody charted one", "", "24 12:00", "hoursUnder = not charted"},
		{"rounded once", "24 06:00 interface type=mask\n24 06:20 interface type=off", "24 12:00",
			"hoursUnder.bridge = 0.33\nhoursUnder.septum = 0.00"},
		// a day of 25 h: since 24 07:59
		{"stopped, while any lie in the 24 h", "24 06:00 interface type=mask\n24 08:00 support state=stopped", "25 06:59",
			"hoursUnder.bridge = 0.02"},
		{"stopped, none left", "24 06:00 interface type=mask\n24 08:00 support state=stopped", "25 07:00", "only hoursUnder"},
	})
	rules(t, "", admitted, []rule{
		{"never on support", "24 06:00 interface type=mask", "24 12:00", "only hoursUnder"},
		{"on from this very moment, the mask from before", "24 06:00 interface type=mask\n24 12:00 support state=started mode=cpap",
			"24 12:00", "hoursUnder.bridge = 0.00\nhoursUnder.septum = 0.00"},
	})
	rules(t, `{"under":{"any":[]}}`, onCPAP, []rule{
		{"sites are the unit's", "24 06:00 interface type=cannula\n24 08:00 interface type=mask", "24 12:00",
			"hoursUnder.forehead = 0.00\nhoursUnder.naris-left = 2.00\nhoursUnder.bridge = 4.00\nhoursUnder.philtrum = 6.00"},
	})
}
