package handover_test

import "testing"

// Every figure that applies and was not charted is a gap, those that a nurse should
// mend first at the head of the list. What does not apply is none, and neither is
// what is left out for another reason.
func TestGaps(t *testing.T) {
	const skin, setup = "skin.checkedAt, skin.worst, skin.worstSite, skin.worstAt", "setup.calibrated, setup.sealHeld, setup.circuitDueOn"
	const target = "settings.spo2LowPercent, settings.spo2HighPercent"
	rules(t, "", admitted, []rule{
		{"no support", "", "24 08:00", "gaps = tubes, head, " + skin},
		{"cpap, nothing charted", "24 06:00 support state=started mode=cpap", "24 08:00", "gaps = settings.pressureCmH2O, settings.fio2Percent, settings.flowLMin, " + target + ", interface, tubes, head, " + skin +
			", fio2, indices, rotation.dueAt, rotation.overdueAt, hoursUnder, bonnet.size, bonnet.fits, humidifier.state, humidifier.readyBeforeUse, " + setup},
		{"high-flow: no pressure, no rotation, no bonnet", "24 06:00 support state=started mode=high-flow", "24 08:00", "gaps = settings.fio2Percent, settings.flowLMin, " + target + ", interface, tubes, head, " + skin +
			", fio2, indices, hoursUnder, humidifier.state, humidifier.readyBeforeUse, " + setup},
		{"low-flow: no humidifier and set-up either", "24 06:00 support state=started mode=low-flow", "24 08:00", "gaps = settings.fio2Percent, settings.flowLMin, " + target + ", interface, tubes, head, " + skin + ", fio2, indices, hoursUnder"},
		{"bilevel: rate, upper pressure and inspiratory time are none", "24 06:00 support state=started mode=bilevel\n24 06:00 settings pressureCmH2O=6 fio2Percent=30 flowLMin=8 spo2LowPercent=90 spo2HighPercent=95", "24 08:00", "gaps = interface, tubes, head, " + skin +
			", indices, rotation.dueAt, rotation.overdueAt, hoursUnder, bonnet.size, bonnet.fits, humidifier.state, humidifier.readyBeforeUse, " + setup},
	})
	rules(t, `{"indices":["sf","severity","osi"],"rotation":{"types":"none"}}`, admitted, []rule{
		{"parts by their name", `24 06:00 support state=started mode=cpap
24 06:00 settings fio2Percent=30 flowLMin=8 spo2LowPercent=90 spo2HighPercent=95
24 06:00 interface type=mask
24 06:00 tube action=placed route=oral markCm=15
24 06:00 tube action=placed use=venting route=oral sizeFr=8 markCm=17
24 06:30 head circumferenceCm=25
24 06:30 skin sites=septum:intact
24 06:30 bonnet action=none
24 07:00 observations spo2Percent=93
24 07:00 humidifier state=on water=changed waterMl=500
24 05:30 circuit action=fitted
24 05:30 seal held=true`, "24 08:00", "gaps = settings.pressureCmH2O, interface.size, tubes.feeding.sizeFr, indices.severity, indices.osi, humidifier.state, humidifier.readyBeforeUse, humidifier.waterEmptyAt, setup.calibrated"},
		{"no FiO2 for the indices", "24 06:00 support state=started mode=low-flow\n24 07:00 observations spo2Percent=93\n24 06:00 interface type=cannula size=x\n24 06:00 tube action=none\n24 06:00 head circumferenceCm=25\n24 06:00 skin sites=septum:intact\n24 06:00 settings flowLMin=1 spo2LowPercent=90 spo2HighPercent=95", "24 08:00", "gaps = settings.fio2Percent, fio2, indices.sf"},
		{"nothing is missing", `24 06:00 support state=started mode=cpap
24 06:00 settings pressureCmH2O=6 fio2Percent=30 flowLMin=8 spo2LowPercent=90 spo2HighPercent=95
24 06:00 interface type=off
24 06:00 tube action=none
24 06:30 head circumferenceCm=25 unreliable=swelling
24 06:30 skin sites=septum:intact
24 06:30 bonnet action=none
24 07:00 observations spo2Percent=93
24 07:00 humidifier state=off
24 05:20 circuit action=fitted
24 05:30 humidifier state=ready
24 06:10 interface type=mask size=S
24 05:30 seal held=true
24 05:30 calibration points=21:21,100:99`, "24 08:00", "gaps = -"},
	})
}
