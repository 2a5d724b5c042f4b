package handover_test

import "testing"

// What is shown as it was charted.
func TestChartedFacts(t *testing.T) {
	rules(t, `{"safety":["suction"]}`, onCPAP, []rule{
		{"none", "", "24 08:00", "only gas\nonly limits\nonly safety\nonly told"},
		{"the latest blood gas", "23 06:00 gas sample=venous ph=7.1\n#5 24 07:00 gas sample=capillary ph=7.31 pco2KPa=6.2 " +
			"baseExcessMmolL=-2.5", "24 08:00", "gas.sample = capillary\ngas.values.ph = 7.31\ngas.values.ph.source = #5 24 07:00 n\n" +
			"gas.values.pco2KPa = 6.2\ngas.values.pco2KPa.source = #5 24 07:00 n\ngas.values.baseExcessMmolL = -2.5\n" +
			"gas.values.baseExcessMmolL.source = #5 24 07:00 n\ngas.source = #5 24 07:00 n\nonly gas"},
		{"limits, each as charted last", "#5 24 06:00 limits spo2LowPercent=88 spo2HighPercent=96\n#6 24 07:00 limits spo2HighPercent=97",
			"24 08:00", "limits.spo2LowPercent = 88\nlimits.spo2HighPercent = 97\nlimits.spo2HighPercent.source = #6 24 07:00 n"},
		{"safety", "#5 24 07:00 safety items=suction:false", "24 08:00", "safety.items.suction = false\nsafety.source = #5 24 07:00 n"},
		{"told, of the window", "24 07:30 told whom=x about=y\n24 07:31 told whom=mother about=gas answer=\"when?\"", "24 08:31",
			"told.0.whom = mother\ntold.0.about = gas\ntold.0.answer = when?\nonly told.1"},
		{"why on support", "24 06:30 support state=changed why=apnoea", "24 08:00", "support.why = apnoea"},
		{"fit and septum, as seen since it is on",
			"24 06:00 interface type=prongs fit=leak\n#5 24 06:10 interface type=mask size=S fit=sealed\n" +
				"#6 24 06:20 interface type=mask clear=false", "24 08:00",
			"interface.fit = sealed\ninterface.fit.source = #5 24 06:10 n\ninterface.clear = false\n" +
				"interface.clear.source = #6 24 06:20 n"},
		{"aspirate", "24 06:00 tube action=placed route=oral markCm=15 xray=true\n#5 24 07:00 tube action=checked aspirate=got " +
			"aspirateMl=2.5 aspirateLook=milky", "24 08:00", "tubes.feeding.aspirateMl = 2.5\ntubes.feeding.aspirateLook = milky\n" +
			"tubes.feeding.xRay = #1003 24 06:00 n"},
		{"suction", "24 07:00 care what=nasal-suction amount=much look=bloody", "24 08:00",
			"cares.nasal-suction.amount = much\ncares.nasal-suction.look = bloody"},
		{"bubbling", "24 07:00 observations bubbling=false airwayC=37.1", "24 08:00",
			"observations.bubbling = false\nobservations.airwayC = 37.1"},
	})
	rules(t, `{"cares":["eye-care"],"every":{"care":{"eye-care":"4h"}},"safety":["suction","oxygen"]}`,
		onCPAP+"24 06:00 humidifier state=off\n", []rule{
			{"the unit's own care", "24 07:00 care what=eye-care", "24 11:00",
				"cares.eye-care.window = 0\ndue.care.eye-care = due 24 11:00\ndue.care.eye-care.overdueAt = 24 15:00"},
			{"the safety check, from the spell's start", "", "24 18:00", "due.safety = due 24 18:00\ndue.safety.overdueAt = 25 05:00"},
			{"done whole", "24 08:00 safety items=suction:true,oxygen:false", "24 18:00", "due.safety = -"},
			{"not whole", "24 08:00 safety items=suction:true", "24 18:00", "due.safety = due 24 18:00"},
			{"deferred, and done", "24 17:00 deferral what=safety until=\"24 22:00\" reason=x", "24 18:00",
				"due.safety = deferred 24 18:00"},
			{"a plan of none", "24 07:00 plan what=safety every=none reason=x", "25 18:00", "due.safety = -"},
		})
	rules(t, "", onCPAP, []rule{
		{"humidifier, from the spell's start", "", "24 10:00",
			"due.humidifier = due 24 10:00\ndue.humidifier.overdueAt = 24 14:00\ndue.safety = -"},
		{"from chamber or water", "24 07:00 humidifier water=ok", "24 10:59", "due.humidifier = -"},
		{"a state alone is no look", "24 07:00 humidifier state=on", "24 10:00", "due.humidifier = due 24 10:00"},
		{"deferred, and looked at since", "24 09:00 deferral what=humidifier until=\"24 22:00\" reason=x\n24 09:30 humidifier water=ok",
			"24 13:30", "due.humidifier = due 24 13:30"},
		{"where none is heated", "24 06:00 support state=changed mode=low-flow", "24 12:00", "due.humidifier = -"},
		{"water of before it was off says nothing", "24 06:00 humidifier state=on water=low\n24 07:00 humidifier state=off\n" +
			"24 07:30 humidifier state=on", "24 09:00", "humidifier.water = -\ndue.water = -"},
	})
}

// Bonnet and straps press under mask and prongs; under a cannula only a bonnet does.
func TestUnderBonnetAndStraps(t *testing.T) {
	const seen = "24 06:00 skin sites=forehead:intact,naris-left:intact,naris-right:intact,philtrum:intact,cheek-left:intact," +
		"cheek-right:intact\n"
	const head = "ear-left, ear-right, occiput"
	rules(t, "", onCPAP, []rule{
		{"mask", "24 06:00 interface type=mask", "24 18:00", "hoursUnder.forehead = 12.00"},
		{"cannula, no bonnet", "24 06:00 interface type=cannula\n" + seen, "24 18:00",
			"hoursUnder.forehead = 0.00\nskin.dueSites = naris-left, naris-right, philtrum, cheek-left, cheek-right"},
		{"cannula and bonnet", "24 06:00 interface type=cannula\n24 08:00 bonnet action=fitted size=A\n24 09:30 bonnet action=removed",
			"24 18:00", "hoursUnder.forehead = 1.50\nhoursUnder.naris-left = 12.00"},
		{"bonnet, nothing on the face", "24 06:00 interface type=off\n24 06:00 bonnet action=fitted size=A", "24 18:00",
			"hoursUnder.forehead = 0.00\nonly skin.dueAt"},
		{"due from when something first pressed", "24 06:00 interface type=cannula\n24 08:00 bonnet action=found size=A\n" +
			"24 08:00 skin sites=naris-left:intact,naris-right:intact,philtrum:intact,cheek-left:intact,cheek-right:intact\n" +
			"24 19:59 skin sites=naris-left:intact,naris-right:intact,philtrum:intact,cheek-left:intact,cheek-right:intact", "24 20:00",
			"skin.dueAt = 24 20:00\nskin.dueSites = forehead, " + head},
		{"no interface charted: from the spell's start", "", "24 18:00", "skin.dueAt = 24 18:00\nskin.dueSites = forehead, " + head},
		{"off looked through", "24 07:00 interface type=mask\n24 07:00 skin sites=bridge:intact\n24 08:00 interface type=off\n" +
			"24 18:00 skin sites=bridge:intact,philtrum:intact,cheek-left:intact,cheek-right:intact", "24 19:00",
			"skin.dueAt = 24 19:00\nskin.dueSites = forehead, " + head},
	})
}
