package handover_test

import "testing"

// bonnets are an invented unit's sizes.
const bonnets = `{"sizes":{"bonnet":[{"name":"bud","fromCm":22,"toCm":24.5},{"name":"petal","fromCm":24,"toCm":26.5},{"name":"bloom",` +
	`"fromCm":26,"toCm":28}]}}`

func TestBonnetApplies(t *testing.T) {
	rules(t, bonnets, admitted, []rule{
		{"no support, none on", "24 06:00 head circumferenceCm=25", "24 08:00", "only bonnet"},
		{"no support, one on", "24 06:00 bonnet action=fitted size=petal", "24 08:00", "bonnet.size = petal"},
		{"high-flow, none on", "24 06:00 support state=started mode=high-flow\n24 06:10 bonnet action=removed", "24 08:00", "only bonnet"},
		{"high-flow, one on", "24 06:00 support state=started mode=high-flow\n24 06:10 bonnet action=found size=petal", "24 08:00",
			"bonnet.size = petal"},
		{"cpap, nobody charted one", "24 06:00 support state=started mode=cpap", "24 08:00",
			"bonnet.size = not charted\nbonnet.fits = not charted"},
		{"cpap, charted as none", "24 06:00 support state=started mode=cpap\n#4 24 06:10 bonnet action=none", "24 08:00",
			"bonnet.size = -\nbonnet.fits = -\nbonnet.source = #4 24 06:10 n\nbonnet.reason = never-measured"},
		{"cpap, removed", "24 06:00 support state=started mode=cpap\n24 06:10 bonnet action=fitted size=bud\n" +
			"24 07:10 bonnet action=removed", "24 08:00", "bonnet.size = -\nbonnet.fits = -"},
	})
}

func TestBonnetFit(t *testing.T) {
	rules(t, bonnets, onCPAP, []rule{
		{"upper end fits", "24 06:00 bonnet action=fitted size=petal\n24 07:00 head circumferenceCm=26.5", "24 08:00",
			"bonnet.fits = true\nbonnet.reasons.out-of-range = -"},
		{"over it does not", "24 06:00 bonnet action=fitted size=petal\n24 07:00 head circumferenceCm=26.51", "24 08:00",
			"bonnet.fits = false"},
		{"lower end fits", "24 06:00 bonnet action=fitted size=petal\n24 07:00 head circumferenceCm=24.0", "24 08:00",
			"bonnet.fits = true"},
		{"under it does not", "24 06:00 bonnet action=fitted size=petal\n24 07:00 head circumferenceCm=23.9", "24 08:00",
			"bonnet.fits = false"},
		{"a swollen head is wide", "#8 24 07:00 head circumferenceCm=30 unreliable=swelling\n24 06:00 bonnet action=fitted size=petal",
			"24 08:00", "bonnet.fits = false\nbonnet.reasons.out-of-range = 2026-10-24 #8"},
		{"head not measured", "24 06:00 bonnet action=fitted size=petal", "24 08:00", "bonnet.fits = not charted"},
		{"size not of the list now", "24 06:00 bonnet action=fitted size=fruit\n24 07:00 head circumferenceCm=26", "24 08:00",
			"bonnet.size = fruit\nbonnet.fits = not charted\nbonnet.checkFrom = -"},
		{"the same size again: since then as before",
			"#3 23 06:00 bonnet action=fitted size=petal\n24 06:00 bonnet action=fitted size=petal", "24 08:00",
			"bonnet.since = 23 06:00\nbonnet.source = #3 23 06:00 n"},
		{"removed between: since the later", "23 06:00 bonnet action=fitted size=petal\n23 12:00 bonnet action=removed\n" +
			"24 06:00 bonnet action=fitted size=petal", "24 08:00", "bonnet.since = 24 06:00"},
		{"tight says nothing of what is on", "24 06:00 bonnet action=tight", "24 08:00",
			"bonnet.size = not charted\nbonnet.reasons.tight = 2026-10-24 #1003"},
	})
	rules(t, "", onCPAP, []rule{
		{"no list of sizes: nothing is computed", "24 06:00 bonnet action=fitted size=any\n24 07:00 head circumferenceCm=26", "24 08:00",
			"bonnet.size = any\nbonnet.fits = not charted\nbonnet.reason = weekly"},
	})
}

// Each reason has its civil day; the earliest is when the bonnet is due.
func TestBonnetReasons(t *testing.T) {
	rules(t, bonnets, onCPAP, []rule{
		{"never measured: since the first spell", "", "25 08:00", "bonnet.dueOn = 2026-10-24\nbonnet.reason = never-measured\n" +
			"bonnet.reasons.never-measured = 2026-10-24 #2\nonly bonnet.reasons"},
		{"never measured: since the first bonnet, if earlier",
			"#5 22 08:00 bonnet action=found size=bud\n23 08:00 bonnet action=fitted size=petal", "25 08:00",
			"bonnet.reasons.never-measured = 2026-10-22 #5\nonly bonnet.reasons"},
		{"never measured: a bonnet found tight is not one put on", "20 08:00 bonnet action=tight", "25 08:00",
			"bonnet.reasons.never-measured = 2026-10-24 #2"},
		{"never measured: a bonnet fitted", "#5 22 08:00 bonnet action=fitted size=bud", "25 08:00",
			"bonnet.reasons.never-measured = 2026-10-22 #5"},
		{"weekly: of the latest head, unreliable too",
			"20 08:00 head circumferenceCm=25\n#5 22 23:30 head circumferenceCm=25.5 unreliable=moulding", "25 08:00",
			"bonnet.reasons.weekly = 2026-10-29 #5\nbonnet.reason = weekly\nbonnet.dueOn = 2026-10-29\nonly bonnet.reasons"},
		{"weekly: by the calendar, over the night the clock goes back", "24 23:30 head circumferenceCm=25", "25 08:00",
			"bonnet.dueOn = 2026-10-31"},
		{"out of range: the head came later", "20 08:00 bonnet action=fitted size=bud\n#5 23 08:00 head circumferenceCm=25", "25 08:00",
			"bonnet.reasons.out-of-range = 2026-10-23 #5\nbonnet.reason = out-of-range"},
		{"out of range: the bonnet came later", "20 08:00 head circumferenceCm=25\n#5 23 08:00 bonnet action=fitted size=bud", "25 08:00",
			"bonnet.reasons.out-of-range = 2026-10-23 #5"},
		{"out of range: since the stretch of this size began",
			"20 08:00 head circumferenceCm=25\n#5 22 08:00 bonnet action=fitted size=bud\n24 08:00 bonnet action=fitted size=bud",
			"25 08:00", "bonnet.reasons.out-of-range = 2026-10-22 #5"},
		{"found tight: the first day", "20 08:00 head circumferenceCm=25\n20 08:00 bonnet action=fitted size=petal\n#5 22 08:00 bonnet " +
			"action=tight\n24 08:00 bonnet action=tight", "25 08:00", "bonnet.reasons.tight = 2026-10-22 #5\nbonnet.reason = tight"},
		{"fitted ends what was found", "20 08:00 head circumferenceCm=25\n20 08:00 bonnet action=fitted size=petal\n" +
			"22 08:00 bonnet action=tight\n22 08:10 bonnet action=soiled\n24 08:00 bonnet action=fitted size=petal", "25 08:00",
			"bonnet.reasons.tight = -\nbonnet.reasons.soiled = -\nbonnet.reason = weekly"},
		{"found of the same size does not", "20 08:00 head circumferenceCm=25\n20 08:00 bonnet action=fitted size=petal\n" +
			"22 08:00 bonnet action=slack\n24 08:00 bonnet action=found size=petal", "25 08:00",
			"bonnet.reasons.slack = 2026-10-22 #1005"},
		{"found of another size does", "20 08:00 head circumferenceCm=25\n20 08:00 bonnet action=fitted size=petal\n" +
			"22 08:00 bonnet action=slack\n24 08:00 bonnet action=found size=bud", "25 08:00", "bonnet.reasons.slack = -"},
		{"removed does, and so does none", "20 08:00 head circumferenceCm=25\n20 08:00 bonnet action=fitted size=petal\n22 08:00 bonnet " +
			"action=soiled\n24 08:00 bonnet action=removed", "25 08:00", "bonnet.reason = weekly\nonly bonnet.reasons.soiled"},
		{"on a tie the one named first", "18 08:00 head circumferenceCm=25\n18 08:00 bonnet action=fitted size=petal\n" +
			"25 07:00 bonnet action=soiled\n25 07:00 bonnet action=slack", "25 08:00", `
			bonnet.dueOn = 2026-10-25
			bonnet.reason = slack
			bonnet.reasons.slack = 2026-10-25 #1006
			bonnet.reasons.soiled = 2026-10-25 #1005
			bonnet.reasons.weekly = 2026-10-25 #1003`},
	})
	rules(t, `{"every":{"head":"36h"}}`, onCPAP,
		[]rule{{"started days up", "20 08:00 head circumferenceCm=25", "24 09:00", "bonnet.dueOn = 2026-10-22"}})
	rules(t, `{"every":{"head":"none"}}`, onCPAP, []rule{
		{"no interval: never weekly", "20 08:00 head circumferenceCm=25", "25 08:00",
			"bonnet.dueOn = -\nbonnet.reason = -\nbonnet.state = -\ndue.bonnet = -"},
		{"no interval, a plan", "20 08:00 head circumferenceCm=25\n20 09:00 plan what=head every=3d reason=big", "25 08:00",
			"bonnet.dueOn = 2026-10-23\nbonnet.reason = weekly"},
	})
	rules(t, "", onCPAP, []rule{
		{"a plan moves weekly", "20 08:00 head circumferenceCm=25\n20 09:00 plan what=head every=3d reason=big", "25 08:00",
			"bonnet.reasons.weekly = 2026-10-23 #1003\ndue.bonnet.every = -"},
	})
}

// Due on the day, overdue after it, by the unit's civil day.
func TestBonnetState(t *testing.T) {
	const measured = "17 08:00 head circumferenceCm=25\n"
	rules(t, "", onCPAP+measured, []rule{
		{"the day before", "", "23 23:59", "bonnet.state = -\ndue.head = -"}, // not yet on support: the head by itself
		{"on the day", "", "24 06:00", "bonnet.dueOn = 2026-10-24\nbonnet.state = due\ndue.bonnet = due 2026-10-24\n" +
			"due.bonnet.overdueAt = 25 00:00\ndue.bonnet.why = weekly\ndue.head = -"},
		{"at its end", "", "24 23:59", "bonnet.state = due"},
		{"after it", "", "25 00:00", "bonnet.state = overdue\ndue.bonnet = overdue 2026-10-24"},
	})
	rules(t, "", onCPAP+"18 08:00 head circumferenceCm=25\n", []rule{
		{"a day of 25 hours", "", "25 23:59", "bonnet.state = due\ndue.bonnet.overdueAt = 26 00:00"},
		{"not yet", "", "24 23:59", "bonnet.state = not-due\ndue.bonnet = -"},
	})
	rules(t, "", admitted, []rule{
		{"no bonnet: the head, never measured, since admission", "", "1 07:00",
			"due.head = due 2026-10-01\ndue.head.why = never measured\ndue.head.overdueAt = 2 00:00"},
		{"no bonnet: the head weekly", "10 08:00 head circumferenceCm=25", "18 07:00",
			"due.head = overdue 2026-10-17\ndue.head.why = weekly"},
	})
	rules(t, `{"every":{"head":"none"}}`, admitted, []rule{{"no interval, never measured", "", "2 07:00", "due.head = -"}})
}

// When the head is expected to outgrow the bonnet on: the worked forecast A (boy,
// 26.0 cm at 29+0, up to 28.0 cm) gives days 9, 14 and 21 after the reading.
func TestBonnetOutgrown(t *testing.T) {
	const boy = "#1 1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=male gestation=27+0\n24 06:00 bonnet action=fitted size=bloom\n"
	const none = "bonnet.reasons.outgrowing = -\nbonnet.checkFrom = -\nbonnet.latest = -"
	rules(t, bonnets, boy, []rule{
		{"one reading", "#3 15 08:00 head circumferenceCm=26.0", "24 08:00",
			"bonnet.checkFrom = 2026-10-24\nbonnet.reasons.outgrowing = 2026-10-29 #3\nbonnet.latest = 2026-11-05\n" +
				"bonnet.reason = weekly"},
		{"14 civil days old", "#3 15 23:30 head circumferenceCm=26.0", "29 00:10", "bonnet.reasons.outgrowing = 2026-10-29 #3"},
		{"15 civil days old", "15 23:30 head circumferenceCm=26.0", "30 00:10", none},
		{"an unreliable one after it is passed over",
			"#3 15 08:00 head circumferenceCm=26.0\n16 08:00 head circumferenceCm=27.9 unreliable=swelling", "24 08:00",
			"bonnet.reasons.outgrowing = 2026-10-29 #3\nbonnet.reasons.weekly = 2026-10-23 #1004"},
		{"ventricles after it: none", "15 08:00 head circumferenceCm=26.0\n16 08:00 head circumferenceCm=26.5 unreliable=ventricles",
			"24 08:00", none},
		{"ventricles before it is passed over", "14 08:00 head circumferenceCm=30 unreliable=ventricles\n" +
			"#3 15 08:00 head circumferenceCm=26.0", "24 08:00", "bonnet.reasons.outgrowing = 2026-10-29 #3"},
		{"over it already: the next day at the earliest", "#3 15 08:00 head circumferenceCm=29", "24 08:00",
			"bonnet.reasons.outgrowing = 2026-10-16 #3\nbonnet.checkFrom = 2026-10-16\nbonnet.latest = 2026-10-16\nbonnet.fits = false"},
		{"no bonnet on", "15 08:00 head circumferenceCm=26.0\n24 07:00 bonnet action=removed\n24 06:00 support state=started mode=cpap",
			"24 08:00", none},
		{"a bonnet of no known range", "15 08:00 head circumferenceCm=26.0\n24 07:00 bonnet action=fitted size=leaf", "24 08:00", none},
	})
	const young = "#1 1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=male gestation=29+0\n1 06:00 bonnet action=fitted size=bloom\n"
	rules(t, bonnets, young, []rule{
		{"under 7 days of life", "3 08:00 head circumferenceCm=27.9", "7 23:59", none},
		{"on day 7: no day before it", "#3 3 08:00 head circumferenceCm=27.9", "8 00:00",
			"bonnet.reasons.outgrowing = 2026-10-08 #3\nbonnet.checkFrom = 2026-10-08"},
	})
	const early = "#1 1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=male gestation=25+0\n10 06:00 bonnet action=fitted size=bloom\n"
	rules(t, bonnets, early, []rule{
		{"latest below 27+0", "14 08:00 head circumferenceCm=26.0", "16 08:00", none},
		{"at 27+0", "#3 15 08:00 head circumferenceCm=28.5", "16 08:00", "bonnet.reasons.outgrowing = 2026-10-16 #3"},
		{"latest below 27+0, unreliable at that", "14 08:00 head circumferenceCm=26.0 unreliable=swelling", "16 08:00", none},
	})
	rules(t, bonnets, "1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=other gestation=27+0\n24 06:00 bonnet action=fitted size=bloom\n",
		[]rule{{"sex other", "15 08:00 head circumferenceCm=26.0", "24 08:00", none}})
	rules(t, bonnets, "1 06:00 admission born=2026-10-01 cot=7 mrn=1 sex=male gestation=27\n24 06:00 bonnet action=fitted size=bloom\n",
		[]rule{{"days of gestation unknown", "15 08:00 head circumferenceCm=26.0", "24 08:00", none}})
	// 64+0 is 259 days after the birth at 27+0: 17 June 2027.
	rules(t, bonnets, boy, []rule{
		{"64+0 is the last day looked at", "#3 2027-06-16T08:00:00+01:00 head circumferenceCm=43", "2027-06-16T09:00:00+01:00",
			"bonnet.reasons.outgrowing = 2027-06-17 #3"},
		{"read on that day: no day is left", "2027-06-10T08:00:00+01:00 head circumferenceCm=43\n" +
			"2027-06-17T08:00:00+01:00 head circumferenceCm=43", "2027-06-17T09:00:00+01:00", none},
	})
	rules(t, `{"sizes":{"bonnet":[{"name":"bloom","fromCm":26,"toCm":45}]}}`, boy, []rule{
		{"never before 64+0: no day", "15 08:00 head circumferenceCm=26.0", "24 08:00", none},
	})
}
