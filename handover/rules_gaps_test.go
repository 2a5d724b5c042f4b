package handover_test

import "testing"

// What a person could chart and nobody did, those that a nurse should mend first at
// the head of the list. A figure that is computed is never one: it is told as not
// computed, with what lacks.
func TestGaps(t *testing.T) {
	const target = "settings.spo2LowPercent, settings.spo2HighPercent"
	const seen = "observations.spo2Percent, observations.heartRateBpm, observations.respRateBpm, weight"
	const device = "humidifier, setup.steps, setup.points.21, setup.points.100, setup.sealHeld, setup.circuit"
	rules(t, "", admitted, []rule{
		{"no support", "", "24 08:00", "gaps = tubes, head, skin, weight, outlook\nonly notComputed"},
		{"cpap, nothing charted", "24 06:00 support state=started mode=cpap", "24 08:00",
			"gaps = settings.pressureCmH2O, settings.fio2Percent, settings.flowLMin, " + target + ", interface, tubes, head, skin, " +
				seen + ", bonnet, outlook, " + device + `
			notComputed.fio2 = settings.fio2Percent: none in force in the window
			notComputed.indices = observations.spo2Percent: none since support began
			notComputed.rotation.dueAt = interface: neither mask nor prongs charted in this spell
			notComputed.rotation.overdueAt = interface: neither mask nor prongs charted in this spell
			notComputed.hoursUnder = interface: none charted
			notComputed.bonnet.fits = bonnet: none charted; head: never measured
			notComputed.humidifier.state = humidifier.chamberC: none charted
			notComputed.humidifier.readyBeforeUse = interface: none put on in this spell
			notComputed.setup.calibrated = setup.points.21: not read; setup.points.100: not read
			notComputed.setup.circuitDueOn = setup.circuit: none charted as fitted
			only notComputed`},
		{"high-flow: no pressure, no rotation, no bonnet", "24 06:00 support state=started mode=high-flow", "24 08:00",
			"gaps = settings.fio2Percent, settings.flowLMin, " + target + ", interface, tubes, head, skin, " + seen +
				", outlook, " + device},
		{"low-flow: no humidifier and set-up either", "24 06:00 support state=started mode=low-flow", "24 08:00",
			"gaps = settings.fio2Percent, settings.flowLMin, " + target + ", interface, tubes, head, skin, " + seen + ", outlook"},
		{"in air: no upper bound is wanted", "24 06:00 support state=started mode=low-flow\n24 06:00 settings fio2Percent=21 flowLMin=1 " +
			"spo2LowPercent=90", "24 08:00", "gaps = interface, tubes, head, skin, " + seen + ", outlook"},
		{"bilevel: rate, upper pressure and inspiratory time are none",
			"24 06:00 support state=started mode=bilevel\n24 06:00 settings pressureCmH2O=6 fio2Percent=30 flowLMin=8 spo2LowPercent=90 " +
				"spo2HighPercent=95", "24 08:00", "gaps = interface, tubes, head, skin, " + seen + ", bonnet, outlook, " + device},
		{"of an earlier spell", "20 06:00 support state=started mode=low-flow\n20 07:00 observations spo2Percent=93 heartRateBpm=150 " +
			"respRateBpm=50\n20 08:00 support state=stopped\n24 06:00 support state=started mode=low-flow\n" +
			"24 06:00 settings fio2Percent=21 flowLMin=1 spo2LowPercent=90\n24 06:30 observations heartRateBpm=150", "24 08:00",
			"gaps = interface, tubes, head, skin, observations.spo2Percent, observations.respRateBpm, weight, outlook"},
	})
	rules(t, "", "1 06:00 admission born=2026-10-01 cot=7 mrn=4711 birthWeightG=900\n24 06:00 tube action=none\n"+
		"24 06:00 outlook severity=stable\n", []rule{
		{"who it is; the birth weight counts in the first stay", "", "24 08:00", "gaps = head, skin, sex, age.gestation"},
		{"and not in a later one", "20 08:00 discharge to=home\n22 08:00 admission born=2026-10-01 cot=7 mrn=4711 sex=unknown", "24 08:00",
			"gaps = head, skin, age.gestation, weight"},
	})
	rules(t, `{"indices":["sf","severity","osi"],"rotation":{"types":"none"},"sizes":{"mask":["S"]}}`, admitted, []rule{
		{"parts by their name", `24 06:00 support state=started mode=cpap
24 06:00 settings fio2Percent=30 flowLMin=8 spo2LowPercent=90 spo2HighPercent=95
24 06:00 interface type=mask
24 06:00 tube action=placed route=oral markCm=15
24 06:00 tube action=placed use=venting route=oral sizeFr=8 markCm=17
24 06:30 head circumferenceCm=25
24 06:30 skin sites=septum:intact
24 06:30 bonnet action=none
24 07:00 observations spo2Percent=93 heartRateBpm=150 respRateBpm=50
24 07:00 humidifier state=on water=changed waterMl=500
24 05:30 circuit action=fitted
24 05:30 seal held=true
24 05:30 calibration points=100:99`, "24 08:00", `gaps = settings.pressureCmH2O, interface.size, tubes.feeding.sizeFr, weight, outlook,` +
			` humidifier.chamberC, setup.steps, setup.points.21
			notComputed.indices.severity = settings.pressureCmH2O: none in force at 07:00
			notComputed.indices.osi = settings.pressureCmH2O: none in force at 07:00
			notComputed.humidifier.state = humidifier.chamberC: none charted
			notComputed.humidifier.readyBeforeUse = humidifier.chamberC: none between the circuit and 06:00
			notComputed.humidifier.waterEmptyAt = humidifier.chamberC: none charted
			notComputed.setup.calibrated = setup.points.21: not read
			only notComputed`},
		{"no list of sizes of that type: any", "24 06:00 support state=started mode=low-flow\n24 06:00 interface type=cannula\n" +
			"24 06:00 settings fio2Percent=21 flowLMin=1 spo2LowPercent=90", "24 08:00",
			"interface.size = not charted\ngaps = tubes, head, skin, " + seen + ", outlook"},
		{"nothing is missing", `24 06:00 support state=started mode=cpap
24 06:00 settings pressureCmH2O=6 fio2Percent=30 flowLMin=8 spo2LowPercent=90 spo2HighPercent=95
24 06:00 interface type=off
24 06:00 tube action=none
24 06:30 head circumferenceCm=25 unreliable=swelling
24 06:30 weight weightG=1000
24 06:30 skin sites=septum:intact
24 06:30 bonnet action=none
24 06:40 outlook severity=stable
24 07:00 observations spo2Percent=93 heartRateBpm=150 respRateBpm=50
24 07:00 humidifier state=off
24 05:20 circuit action=fitted
24 05:30 humidifier state=ready
24 06:10 interface type=mask size=S
24 05:30 setup steps=seal:true
24 05:30 seal held=true
24 05:30 calibration points=21:21,100:99`, "24 08:00", "gaps = -\nonly notComputed"},
	})
}
