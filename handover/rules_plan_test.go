package handover_test

import "testing"

// The latest plan for a thing rules until it ends: with its until (that moment in),
// with policy, or with the stay. Observations are hourly by policy.
func TestPlans(t *testing.T) {
	const seen = onCPAP + "24 06:00 observations spo2Percent=93\n"
	rules(t, "", seen, []rule{
		{"rules from its moment", "24 06:30 plan what=observations every=3h reason=sleep", "24 08:00",
			"due.observations = -\nplans.observations.every = 3h\nplans.observations.reason = sleep"},
		{"not before it", "24 07:30 plan what=observations every=3h reason=sleep", "24 07:29",
			"due.observations = due 24 07:00\nonly plans"},
		{"at its until, in", "24 06:30 plan what=observations every=3h until=\"24 08:00\" reason=sleep", "24 08:00",
			"due.observations = -\nplans.observations.until = 24 08:00"},
		{"a minute after its until", "24 06:30 plan what=observations every=3h until=\"24 08:00\" reason=sleep", "24 08:01",
			"due.observations = overdue 24 07:00\nonly plans"},
		{"the latest rules", "24 06:30 plan what=observations every=3h reason=sleep\n24 06:40 plan what=observations every=2h " +
			"reason=awake", "24 08:00", "due.observations = due 24 08:00\nplans.observations.reason = awake"},
		{"the latest has ended: policy, not the one before", "24 06:30 plan what=observations every=5h reason=sleep\n" +
			"24 06:40 plan what=observations every=3h until=\"24 07:30\" reason=sleep", "24 08:00", "due.observations = overdue 24 07:00"},
		{"policy ends it", "24 06:30 plan what=observations every=5h reason=sleep\n24 07:30 plan what=observations every=policy " +
			"reason=awake", "24 08:00", "due.observations = overdue 24 07:00\nonly plans"},
		{"none", "24 06:30 plan what=observations every=none reason=sleep", "24 20:00", "due.observations = -"},
		{"withdrawn", "#7 24 06:30 plan what=observations every=5h reason=sleep\n24 07:30 retraction of=#7 reason=slip", "24 08:00",
			"due.observations = overdue 24 07:00"},
		{"each care by itself", "24 06:30 plan what=care care=position every=1h reason=x\n24 06:30 plan what=care care=mouth-care " +
			"every=2h reason=x", "24 08:00", "due.care.position = overdue 24 07:00\ndue.care.mouth-care = due 24 08:00"},
		{"a tube", "24 06:00 tube action=placed route=oral markCm=15\n24 06:00 plan what=tube every=1h reason=x", "24 07:00",
			"due.tube = due 24 07:00\ndue.tube.every = 1h by plan"},
	})
	rules(t, "", admitted, []rule{
		{"ends with the stay", "2 06:00 plan what=observations every=5h reason=sleep\n3 06:00 discharge to=ward\n" +
			"4 06:00 admission born=2026-10-01 cot=7 mrn=4711\n4 06:00 support state=started mode=cpap", "4 08:00",
			"due.observations = overdue 4 07:00\nonly plans"},
	})
}

// A deferral makes what is due deferred before its until, unless done meanwhile.
func TestDeferral(t *testing.T) {
	const worn = onCPAP + "24 06:00 interface type=mask\n"
	rules(t, "", worn, []rule{
		{"deferred, in the list and in its own place", "24 10:00 deferral what=rotation until=\"24 11:00\" reason=asleep", "24 10:30",
			"rotation.state = deferred\nrotation.until = 24 11:00\ndue.rotation = deferred 24 10:00\ndue.rotation.until = 24 11:00\n" +
				"due.rotation.why = asleep"},
		{"before its until", "24 10:00 deferral what=rotation until=\"24 11:00\" reason=asleep", "24 10:59", "rotation.state = deferred"},
		{"at its until no longer", "24 10:00 deferral what=rotation until=\"24 11:00\" reason=asleep", "24 11:00", "rotation.state = due"},
		{"overdue is deferred too", "24 10:00 deferral what=rotation until=\"24 14:00\" reason=asleep", "24 13:00",
			"rotation.state = deferred"},
		{"what is not due is not deferred", "24 08:00 deferral what=rotation until=\"24 11:00\" reason=asleep", "24 09:00",
			"rotation.state = not-due\ndue.rotation = -"},
		{"the latest one rules", "24 10:00 deferral what=rotation until=\"24 14:00\" reason=asleep\n" +
			"24 10:10 deferral what=rotation until=\"24 10:30\" reason=asleep", "24 10:40", "rotation.state = due"},
		{"of another thing", "24 10:00 deferral what=skin until=\"24 11:00\" reason=asleep", "24 10:30",
			"rotation.state = due\nskin.state = deferred"},
		{"withdrawn", "#6 24 10:00 deferral what=rotation until=\"24 11:00\" reason=asleep\n24 10:20 retraction of=#6 reason=slip",
			"24 10:30", "rotation.state = due"},
	})
}

// It ends when the thing is done after it, or found anew.
func TestDeferralEnds(t *testing.T) {
	defer30 := func(what string) string {
		return "24 12:00 deferral what=" + what + " until=\"30 12:00\" reason=asleep\n"
	}
	rules(t, "", onCPAP+"24 06:00 interface type=mask\n", []rule{
		{"a new run by rotation", defer30("rotation") + "24 13:00 interface type=prongs", "24 17:00", "rotation.state = due"},
		{"a new run by a rest", defer30("rotation") + "24 13:00 interface type=off\n24 14:00 interface type=mask", "24 18:00",
			"rotation.state = due"},
		{"not the same type again", defer30("rotation") + "24 13:00 interface type=mask size=M", "24 17:00", "rotation.state = deferred"},
		{"a new run by a new spell, the mask left on", defer30("rotation") + "24 13:00 support state=stopped\n" +
			"24 15:00 support state=started mode=cpap", "24 19:00", "rotation.dueAt = 24 19:00\nrotation.state = due"},
		{"not by what was done before it", "24 11:00 interface type=prongs\n" + defer30("rotation"), "24 16:00",
			"rotation.state = deferred"},
		{"done at its very moment: by order, the greater id is later",
			"#7 24 12:00 interface type=prongs\n#8 24 12:00 deferral what=rotation until=\"30 12:00\" reason=x", "24 16:00",
			"rotation.state = deferred"},
		{"done at its very moment, ids the other way",
			"#8 24 12:00 interface type=prongs\n#7 24 12:00 deferral what=rotation until=\"30 12:00\" reason=x", "24 16:00",
			"rotation.state = due"},

		{"a temperature alone is not observations", defer30("observations") + "24 12:30 observations axillaryC=36.8", "24 13:00",
			"due.observations = deferred 24 07:00"},
		{"observations not yet", defer30("observations"), "24 13:00", "due.observations = deferred 24 07:00"},
		{"tube", "24 06:00 tube action=placed route=oral markCm=15\n" + defer30("tube") + "24 13:00 tube action=checked", "24 19:00",
			"due.tube = due 24 19:00"},
		{"tube not yet", "24 06:00 tube action=placed route=oral markCm=15\n" + defer30("tube"), "24 19:00",
			"due.tube = deferred 24 12:00"},
		{"circuit fitted", "17 06:00 circuit action=fitted\n" + defer30("circuit") + "24 13:00 circuit action=fitted", "31 13:00",
			"due.circuit = due 2026-10-31"},
		{"circuit not yet", "17 06:00 circuit action=fitted\n" + defer30("circuit"), "24 13:00", "due.circuit = deferred 2026-10-24"},
		{"circuit found soiled", "17 06:00 circuit action=fitted\n" + defer30("circuit") + "24 12:30 circuit action=soiled", "24 13:00",
			"due.circuit = due 2026-10-24"},
		{"circuit drained does not", "17 06:00 circuit action=fitted\n" + defer30("circuit") + "24 12:30 circuit action=drained",
			"24 13:00", "due.circuit = deferred 2026-10-24"},
		// 4 h 13 after 12:30
		{"water changed", "24 06:00 settings flowLMin=8\n24 11:00 humidifier water=low chamberC=37\n" + defer30("water") +
			"24 12:30 humidifier water=changed waterMl=100", "24 16:30", "due.water = overdue 24 15:30"},
		{"water found low anew", "24 11:00 humidifier water=low\n" + defer30("water") + "24 12:30 humidifier water=low", "24 12:30",
			"due.water = overdue 24 11:00"},
		{"water found ok does not end it, nothing is due",
			"24 11:00 humidifier water=low\n" + defer30("water") + "24 12:30 humidifier water=ok", "24 12:30", "due.water = -"},
		{"water not yet", "24 11:00 humidifier water=low\n" + defer30("water"), "24 12:30", "due.water = deferred 24 11:00"},
	})
	rules(t, `{"every":{"care":{"mouth-care":"1h","position":"1h"},"oxygenSensor":"1h"}}`, onCPAP, []rule{
		{"that care", defer30("care care=mouth-care") + "24 12:30 care what=mouth-care", "24 13:30", "due.care.mouth-care = due 24 13:30"},
		{"not another care", defer30("care care=mouth-care") + "24 12:30 care what=position side=left", "24 13:30",
			"due.care.mouth-care = deferred 24 07:00\ndue.care.position = due 24 13:30"},
		{"a calibration", defer30("oxygen-sensor") + "24 12:30 calibration points=21:21", "24 13:30", "due.oxygen-sensor = due 24 13:30"},
		{"one task, not another", "#7 24 06:00 task text=x dueAt=\"24 10:00\"\n#8 24 06:00 task text=y dueAt=\"24 10:00\"\n" +
			defer30("task task=#7"), "24 12:30", "due.task.#7 = deferred 24 10:00\ndue.task.#8 = overdue 24 10:00"},
	})
}

// Head and bonnet are one item under two names. A head ends a deferral of either;
// a bonnet seen to ends one of the bonnet; a new finding ends either.
func TestDeferralOfHeadAndBonnet(t *testing.T) {
	const due = onCPAP + "17 08:00 head circumferenceCm=25\n24 07:00 bonnet action=fitted size=bud\n"
	deferred := func(what string) string {
		return "24 08:00 deferral what=" + what + " until=\"30 12:00\" reason=asleep\n"
	}
	rules(t, "", due, []rule{
		{"bonnet", deferred("bonnet"), "24 09:00", "bonnet.state = deferred\ndue.bonnet = deferred 2026-10-24"},
		{"head", deferred("head"), "24 09:00", "bonnet.state = deferred"},
		{"bonnet, a head measured", deferred("bonnet") + "24 08:30 head circumferenceCm=25", "31 08:00", "bonnet.state = due"},
		{"head, a head measured", deferred("head") + "24 08:30 head circumferenceCm=25", "31 08:00", "bonnet.state = due"},
		{"bonnet, one found", deferred("bonnet") + "24 08:30 bonnet action=found size=bud", "24 09:00", "bonnet.state = due"},
		{"head, one found", deferred("head") + "24 08:30 bonnet action=found size=bud", "24 09:00", "bonnet.state = deferred"},
		{"bonnet, found tight", deferred("bonnet") + "24 08:30 bonnet action=tight", "24 09:00", "bonnet.state = due"},
		{"head, found tight", deferred("head") + "24 08:30 bonnet action=tight", "24 09:00", "bonnet.state = due"},
	})
	rules(t, "", admitted+"17 08:00 head circumferenceCm=25\n", []rule{
		{"the head alone, deferred as bonnet", deferred("bonnet"), "24 09:00", "due.head = deferred 2026-10-24"},
	})
}

// Site by site: the summary is deferred when every site that is due is.
func TestDeferralOfSkin(t *testing.T) {
	const masked = onCPAP + "24 06:00 interface type=mask\n24 10:00 deferral what=skin until=\"24 20:00\" reason=asleep\n"
	rules(t, "", masked, []rule{
		{"all", "", "24 10:30", "skin.state = deferred\nskin.until = 24 20:00\ndue.skin = deferred 24 10:00"},
		{"a site seen since falls due by itself", "24 11:00 skin sites=bridge:intact", "24 15:00",
			"skin.state = due\nskin.until = -\nskin.dueSites = bridge, philtrum, cheek-left, cheek-right"},
		{"a site seen since and not yet due", "24 11:00 skin sites=bridge:intact", "24 14:59", "skin.state = deferred"},
		{"all seen since", "24 11:00 skin sites=bridge:intact,philtrum:intact,cheek-left:intact,cheek-right:intact", "24 15:00",
			"skin.state = due"},
	})
}
