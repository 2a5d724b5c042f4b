package handover_test

import "testing"

func TestSensor(t *testing.T) {
	rules(t, "", onCPAP, []rule{
		{"nobody checked it", "", "24 08:00", "setup.calibrated = not charted\nonly setup.points"},
		{"both points", "#5 24 05:30 calibration points=21:21.2,100:99", "24 08:00",
			"setup.calibrated = true\nsetup.points.21.readPercent = 21.2\nsetup.points.21.ok = true\n" +
				"setup.points.21.source = #5 24 05:30 n\nsetup.points.100.ok = true"},
		{"one not read", "24 05:30 calibration points=21:21.2", "24 08:00",
			"setup.calibrated = not charted\nsetup.points.21.ok = true\nsetup.points.100.ok = -"},
		{"one fails, one not read", "24 05:30 calibration points=100:90", "24 08:00",
			"setup.calibrated = false\nsetup.points.100.ok = false"},
		{"two checks, a point each", "24 05:30 calibration points=21:21.2\n24 05:40 calibration points=100:99", "24 08:00",
			"setup.calibrated = true"},
		{"the latest of a point", "24 05:30 calibration points=21:30,100:99\n24 05:40 calibration points=21:21", "24 08:00",
			"setup.calibrated = true"},
		{"gas within 1 of the point", "24 05:30 calibration points=20.95:21,99:98", "24 08:00",
			"setup.calibrated = true\nsetup.points.99.ok = true"},
		{"gas further off", "24 05:30 calibration points=19.9:21,98.9:98", "24 08:00",
			"setup.calibrated = not charted\nonly setup.points"},
		{"an hour before the spell, in", "24 05:00 calibration points=21:21,100:99", "24 08:00", "setup.calibrated = true"},
		{"a minute earlier, out", "24 04:59 calibration points=21:21,100:99", "24 08:00", "setup.calibrated = not charted"},
		{"an hour before the circuit was fitted, in", "24 12:00 circuit action=fitted\n24 11:00 calibration points=21:21,100:99",
			"24 13:00", "setup.calibrated = true"},
		{"a minute earlier, out, though in the spell", "24 12:00 circuit action=fitted\n24 10:59 calibration points=21:21,100:99",
			"24 13:00", "setup.calibrated = not charted"},
		{"a circuit fitted days before the spell", "20 12:00 circuit action=fitted\n20 11:30 calibration points=21:21,100:99", "24 13:00",
			"setup.calibrated = true"},
	})
	rules(t, `{"oxygenSensor":{"points":[]}}`, onCPAP,
		[]rule{{"no points by policy", "24 05:30 calibration points=21:90", "24 08:00", "setup.calibrated = -\nonly setup.points"}})
}

func TestSeal(t *testing.T) {
	rules(t, "", onCPAP, []rule{
		{"nobody tested it", "", "24 08:00", "setup.sealHeld = not charted"},
		{"held", "24 05:30 seal held=true", "24 08:00", "setup.sealHeld = true"},
		{"the latest", "24 05:30 seal held=true\n24 07:00 seal held=false", "24 08:00", "setup.sealHeld = false"},
		{"an hour before the spell, in", "24 05:00 seal held=true", "24 08:00", "setup.sealHeld = true"},
		{"a minute earlier, out", "24 04:59 seal held=true", "24 08:00", "setup.sealHeld = not charted"},
		{"from the circuit's fitting on", "24 12:00 circuit action=fitted\n24 12:00 seal held=true", "24 13:00", "setup.sealHeld = true"},
		{"before it", "24 12:00 circuit action=fitted\n24 11:59 seal held=true", "24 13:00", "setup.sealHeld = not charted"},
	})
}

func TestSetupSteps(t *testing.T) {
	const three = `{"setup":["gas","pot","seal"]}`
	rules(t, three, onCPAP, []rule{
		{"none ticked: nobody lists them", "", "24 08:00", "setup.notDone = -\nsetup.notCharted = -\nsetup.ticked = false"},
		{"some ticked", "24 05:00 setup steps=gas:true,pot:true", "24 08:00", "setup.notDone = -\nsetup.notCharted = seal"},
		{"all", "24 05:00 setup steps=gas:true,pot:true,seal:true", "24 08:00", "setup.notDone = -\nsetup.notCharted = none"},
		{"ticked as not done", "24 05:00 setup steps=gas:true,pot:true,seal:false", "24 08:00", "setup.notDone = seal"},
		{"ticked as not done last", "24 05:00 setup steps=gas:true,pot:true,seal:true\n24 07:00 setup steps=gas:false", "24 08:00",
			"setup.notDone = gas"},
		{"done in the end", "24 05:00 setup steps=gas:false,pot:true,seal:true\n24 07:00 setup steps=gas:true", "24 08:00",
			"setup.notDone = -"},
		{"more than an hour before the spell", "24 04:59 setup steps=gas:true,pot:true,seal:true", "24 08:00",
			"setup.notDone = -\nsetup.ticked = false"},
		{"a step the unit had once", "24 05:00 setup steps=gas:true,pot:true,seal:true,bell:true", "24 08:00", "setup.notDone = -"},
	})
	rules(t, three, onCPAP, []rule{
		{"nothing around", "24 05:00 setup steps=gas:true", "24 08:00", "setup.probeCaution = -"},
		{"a warmer, the probe open to it", "24 05:00 setup steps=gas:true around=radiant-warmer", "24 08:00", "setup.probeCaution = true"},
		{"the probe outside", "24 05:00 setup steps=gas:true around=incubator probeOutside=true", "24 08:00",
			"setup.probeCaution = false"},
		{"the probe shielded", "24 05:00 setup steps=gas:true around=phototherapy probeShielded=true", "24 08:00",
			"setup.probeCaution = false"},
		{"charted as neither", "24 05:00 setup steps=gas:true around=incubator probeOutside=false probeShielded=false", "24 08:00",
			"setup.probeCaution = true"},
	})
}

// The circuit is due on the civil day of its interval, or on the day it was found
// soiled or faulty and not changed since, the earlier.
func TestCircuit(t *testing.T) {
	const fitted = "20 10:00 circuit action=fitted\n"
	rules(t, "", onCPAP, []rule{
		{"never fitted", "", "24 08:00", "setup.circuitDueOn = not charted\ndue.circuit = -"},
		{"never fitted, found soiled: that day", "#5 24 07:00 circuit action=soiled", "24 08:00",
			"setup.circuitDueOn = 2026-10-24\ndue.circuit = due 2026-10-24\ndue.circuit.why = found soiled"},
		{"interval", fitted, "24 08:00", "setup.circuitDueOn = 2026-10-27\ndue.circuit = -"},
		{"on its day", fitted, "27 00:00", "due.circuit = due 2026-10-27\ndue.circuit.overdueAt = 28 00:00\ndue.circuit.why = interval"},
		{"after it", fitted, "28 00:00", "due.circuit = overdue 2026-10-27"},
		{"soiled", fitted + "24 07:00 circuit action=soiled", "24 08:00",
			"setup.circuitDueOn = 2026-10-24\ndue.circuit = due 2026-10-24\ndue.circuit.why = found soiled"},
		{"faulty, after it was due: the earlier", fitted + "29 07:00 circuit action=faulty", "29 08:00",
			"setup.circuitDueOn = 2026-10-27"},
		{"the first day it was found", fitted + "23 07:00 circuit action=soiled\n24 07:00 circuit action=faulty", "24 08:00",
			"setup.circuitDueOn = 2026-10-23\ndue.circuit = overdue 2026-10-23"},
		{"changed since", fitted + "23 07:00 circuit action=soiled\n23 08:00 circuit action=fitted", "24 08:00",
			"setup.circuitDueOn = 2026-10-30"},
		{"soiled and fitted at one moment: fitted comes after", fitted + "#9 23 07:00 circuit action=soiled\n" +
			"#8 23 07:00 circuit action=fitted", "24 08:00", "setup.circuitDueOn = 2026-10-30"},
		{"drained is no change", fitted + "23 07:00 circuit action=drained", "24 08:00", "setup.circuitDueOn = 2026-10-27"},
		{"a plan", fitted + "20 10:00 plan what=circuit every=2d reason=wet", "24 08:00", "setup.circuitDueOn = 2026-10-22"},
		{"a plan in hours: started days up", fitted + "20 10:00 plan what=circuit every=30h reason=wet", "24 08:00",
			"setup.circuitDueOn = 2026-10-22"},
		{"a plan of none", fitted + "20 10:00 plan what=circuit every=none reason=wet", "30 08:00",
			"setup.circuitDueOn = -\ndue.circuit = -"},
		{"a plan of none, soiled", fitted + "20 10:00 plan what=circuit every=none reason=wet\n24 07:00 circuit action=soiled", "24 08:00",
			"setup.circuitDueOn = 2026-10-24"},
	})
}
