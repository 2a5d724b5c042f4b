package handover_test

import "testing"

// The state goes by the entries since the latest on, warming or ready that follows
// off or nothing. Policy: 37 ± 1.0 °C, 30 min to warm up.
func TestHumidifierState(t *testing.T) {
	const on = "24 06:00 humidifier state=on\n"
	rules(t, "", onCPAP, []rule{
		{"nobody charted it", "", "24 08:00", "humidifier.state = not charted\nhumidifier.chamberC = -\nhumidifier.inTolerance = -\n" +
			"humidifier.water = -"},
		{"warming, at its last moment", on + "24 06:20 humidifier chamberC=33", "24 06:30",
			"humidifier.state = warming\nhumidifier.chamberC = 33\nhumidifier.inTolerance = -"},
		{"a minute later it is too cold", on + "24 06:20 humidifier chamberC=33", "24 06:31",
			"humidifier.state = out-of-tolerance\nhumidifier.inTolerance = false"},
		{"no temperature after it", on, "24 06:31", "humidifier.state = not charted"},
		{"too hot while it warms", on + "24 06:20 humidifier chamberC=38.1", "24 06:20",
			"humidifier.state = out-of-tolerance\nhumidifier.inTolerance = false"},
		{"ready ends the warming", on + "24 06:10 humidifier state=ready chamberC=35", "24 06:20", "humidifier.state = out-of-tolerance"},
		{"on again while on does not warm anew", on + "24 06:25 humidifier state=on chamberC=33", "24 06:40",
			"humidifier.state = out-of-tolerance"},
		{"lower bound in", on + "24 07:00 humidifier chamberC=36.0", "24 08:00",
			"humidifier.state = in-tolerance\nhumidifier.inTolerance = true"},
		{"under it", on + "24 07:00 humidifier chamberC=35.9", "24 08:00", "humidifier.state = out-of-tolerance"},
		{"upper bound in", on + "24 07:00 humidifier chamberC=38.0", "24 08:00", "humidifier.state = in-tolerance"},
		{"the latest temperature", on + "24 07:00 humidifier chamberC=39\n#9 24 07:30 humidifier chamberC=37.2", "24 08:00",
			"humidifier.chamberC = 37.2\nhumidifier.chamberC.source = #9 24 07:30 n\nhumidifier.state = in-tolerance"},
		{"off", on + "24 07:00 humidifier chamberC=37\n24 07:30 humidifier state=off", "24 08:00",
			"humidifier.state = off\nhumidifier.chamberC = -\nhumidifier.inTolerance = -"},
		{"on after off: the temperature before is past", on + "24 07:00 humidifier chamberC=37\n24 07:30 humidifier state=off\n" +
			"24 07:40 humidifier state=on", "24 07:50", "humidifier.state = warming\nhumidifier.chamberC = -"},
		{"off and on at one moment: off comes first", on + "#9 24 07:30 humidifier state=off\n#8 24 07:30 humidifier state=on", "24 07:50",
			"humidifier.state = warming"},
		{"a temperature without any state", "24 07:00 humidifier chamberC=36.8", "24 08:00", "humidifier.state = in-tolerance"},
		{"water word, the latest", on + "24 07:00 humidifier water=ok\n24 07:10 humidifier chamberC=37", "24 08:00",
			"humidifier.water = ok"},
	})
	rules(t, "", admitted+"24 06:00 support state=started mode=low-flow\n"+on,
		[]rule{{"not in low-flow", "", "24 08:00", "only humidifier\nonly setup"}})
	rules(t, "", admitted+"24 06:00 support state=started mode=high-flow\n"+on,
		[]rule{{"in high-flow", "", "24 06:20", "humidifier.state = warming"}})
}

// Ready before use: within tolerance or ready, after the circuit fitted last
// before it and at or before the interface first went on in the spell.
func TestReadyBeforeUse(t *testing.T) {
	const fitted, worn = "24 05:00 circuit action=fitted\n", "24 06:10 interface type=mask\n"
	rules(t, "", onCPAP, []rule{
		{"within tolerance", fitted + worn + "24 05:40 humidifier chamberC=36.5", "24 08:00", "humidifier.readyBeforeUse = true"},
		{"said to be ready", fitted + worn + "24 05:40 humidifier state=ready", "24 08:00", "humidifier.readyBeforeUse = true"},
		{"at that very moment", fitted + worn + "24 06:10 humidifier state=ready", "24 08:00", "humidifier.readyBeforeUse = true"},
		{"a minute late", fitted + worn + "24 05:40 humidifier chamberC=30\n24 06:11 humidifier state=ready", "24 08:00",
			"humidifier.readyBeforeUse = false"},
		{"nothing read between", fitted + worn + "24 06:11 humidifier state=ready", "24 08:00", "humidifier.readyBeforeUse = not charted"},
		{"read before the circuit was fitted", fitted + worn + "24 04:50 humidifier chamberC=36.5", "24 08:00",
			"humidifier.readyBeforeUse = not charted"},
		{"no circuit fitted before", worn + "24 05:40 humidifier chamberC=36.5\n24 07:00 circuit action=fitted", "24 08:00",
			"humidifier.readyBeforeUse = not charted"},
		{"no interface yet", fitted + "24 05:40 humidifier chamberC=36.5", "24 08:00", "humidifier.readyBeforeUse = not charted"},
		{"a circuit fitted later changes nothing", fitted + worn + "24 05:40 humidifier chamberC=36.5\n24 07:00 circuit action=fitted",
			"24 08:00", "humidifier.readyBeforeUse = true"},
	})
}

// 8 L/min metered dry at 21 °C and saturated at 37 °C take 23.7 mL/h (computed from
// a published table of saturated humidity, 43.9 mg/L at 37 °C, and the gas law: each
// litre becomes 1.124). At 31 °C: 32.0 mg/L × 1.082 × 480 L = 16.6 mL/h. By hand in
// each row, rounded down to the half hour of the unit's clock.
func TestWaterRunsOut(t *testing.T) {
	const hung = "24 08:00 humidifier water=changed waterMl=100 chamberC=37\n"
	const flow = "24 06:00 settings flowLMin=8\n"
	rules(t, "", onCPAP, []rule{
		{"100 mL: 4 h 13", flow + hung, "24 09:00", "humidifier.waterEmptyAt = 24 12:00"},
		{"half the flow after 2 h: 47.4 mL gone, 52.6 at 11.85: 6 h 26", flow + hung + "24 10:00 settings flowLMin=4", "24 11:00",
			"humidifier.waterEmptyAt = 24 14:00"},
		{"a future entry is not seen", flow + hung + "24 10:00 settings flowLMin=4", "24 09:59", "humidifier.waterEmptyAt = 24 12:00"},
		{"31 °C at first: 16.6 mL/h for 3 h, 50 at 23.7: 5 h 06", flow + "24 08:00 humidifier water=changed waterMl=100 chamberC=31\n" +
			"24 11:00 humidifier chamberC=37", "24 11:00", "humidifier.waterEmptyAt = 24 13:00"},
		{"before the first temperature, that one", flow + "24 08:00 humidifier water=changed waterMl=100\n24 11:00 humidifier chamberC=37",
			"24 11:00", "humidifier.waterEmptyAt = 24 12:00"},
		{"before the first flow, that one", "24 08:30 settings flowLMin=8\n" + hung, "24 09:00", "humidifier.waterEmptyAt = 24 12:00"},
		{"no flow for an hour: 5 h 13", flow + hung + "24 09:00 settings flowLMin=0\n24 10:00 settings flowLMin=8", "24 10:00",
			"humidifier.waterEmptyAt = 24 13:00"},
		{"no flow any more", flow + hung + "24 09:00 settings flowLMin=0", "24 10:00", "humidifier.waterEmptyAt = left out: no flow"},
		{"it goes on in a break", flow + hung + "24 09:00 support state=stopped\n24 10:00 support state=started mode=cpap", "24 10:00",
			"humidifier.waterEmptyAt = 24 12:00"},
		// 8 h 26
		{"the next bag", flow + hung + "24 10:10 humidifier water=changed waterMl=200", "24 11:00", "humidifier.waterEmptyAt = 24 18:30"},
		{"over the night the clock goes back", flow + "24 23:00 humidifier water=changed waterMl=100 chamberC=37", "25 00:00",
			"humidifier.waterEmptyAt = 25 02:00"},
		{"no amount charted", flow + "24 08:00 humidifier water=changed chamberC=37", "24 09:00", "humidifier.waterEmptyAt = not charted"},
		{"no flow charted", hung, "24 09:00", "humidifier.waterEmptyAt = not charted"},
		{"no temperature charted", flow + "24 08:00 humidifier water=changed waterMl=100", "24 09:00",
			"humidifier.waterEmptyAt = not charted"},
		{"no bag charted", flow + "24 08:00 humidifier water=ok chamberC=37", "24 09:00",
			"humidifier.waterEmptyAt = left out: no bag charted as hung"},
		{"found low", flow + hung + "24 09:00 humidifier water=low", "24 09:30",
			"humidifier.waterEmptyAt = left out: found low since the bag was hung"},
		{"found low before it was hung", flow + "24 07:00 humidifier water=low\n" + hung, "24 09:30",
			"humidifier.waterEmptyAt = 24 12:00"},
		{"found ok before the end", flow + hung + "24 11:59 humidifier water=ok", "24 12:30", "humidifier.waterEmptyAt = 24 12:00"},
		{"found ok at the very end", flow + hung + "24 12:00 humidifier water=ok", "24 12:30", "humidifier.waterEmptyAt = 24 12:00"},
		{"found ok after it", flow + hung + "24 12:20 humidifier water=ok", "24 12:30",
			"humidifier.waterEmptyAt = left out: found ok after the end that was computed"},
	})
	rules(t, "", admitted+"24 05:00 humidifier water=changed waterMl=100 chamberC=37\n24 06:00 support state=started mode=cpap\n", []rule{
		{"hung before the spell: from its start", flow, "24 07:00", "humidifier.waterEmptyAt = 24 10:00"},
	})
	rules(t, `{"timezone":"Asia/Kathmandu"}`, admitted+"24 06:10 support state=started mode=cpap\n24 06:10 settings flowLMin=8\n", []rule{
		{"the half hour of a clock at +05:45", "24 06:20 humidifier water=changed waterMl=100 chamberC=37", "24 07:00",
			"humidifier.waterEmptyAt = 24 10:30"},
	})
}

func TestWaterDue(t *testing.T) {
	const hung = "24 06:00 settings flowLMin=8\n24 08:00 humidifier water=changed waterMl=100 chamberC=37\n" // runs out 12:00
	rules(t, "", onCPAP+hung, []rule{
		{"an hour and a minute before", "", "24 10:59", "due.water = -"},
		{"an hour before it runs out", "", "24 11:00", "due.water = due 24 11:00\ndue.water.overdueAt = 24 12:00"},
		{"when it runs out", "", "24 12:00", "due.water = overdue 24 11:00"},
		{"found low", "24 09:00 humidifier water=low", "24 09:00",
			"due.water = due 24 09:00\ndue.water.overdueAt = 24 10:00\ndue.water.why = found low"},
		{"found low an hour ago", "24 09:00 humidifier water=low", "24 10:00", "due.water = overdue 24 09:00"},
		{"found low twice: since the first", "24 09:00 humidifier water=low\n24 09:30 humidifier water=low", "24 10:00",
			"due.water = overdue 24 09:00"},
		{"low, then ok", "24 09:00 humidifier water=low\n24 09:30 humidifier water=ok", "24 11:30", "due.water = -"},
		{"low, then changed", "24 09:00 humidifier water=low\n24 09:30 humidifier water=changed waterMl=200", "24 11:30", "due.water = -"},
	})
}
