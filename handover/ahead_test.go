package handover_test

import (
	"slices"
	"strings"
	"testing"
)

// The plan ahead: everything with a due moment after the moment, within nextWithin.
func TestNext(t *testing.T) {
	const quiet = `{"every":{"observations":"none","humidifier":"none","head":"none","oxygenSensor":"none"},"nextWithin":"6h"}`
	const on = onCPAP + "24 06:00 interface type=mask\n24 06:00 tube action=placed route=oral sizeFr=6 markCm=15\n" +
		"24 06:00 skin sites=bridge:intact,philtrum:intact,cheek-left:intact,cheek-right:intact,forehead:intact,ear-left:intact," +
		"ear-right:intact,occiput:intact\n"
	rules(t, quiet, on, []rule{
		{"in the order of moments", "24 06:30 head circumferenceCm=25", "24 08:00",
			"next.rotation = 24 10:00  24 12:00\nnext.skin = 24 10:00  24 12:00\nnext.tube = 24 12:00  24 18:00\nonly next"},
		{"within so much, that moment in", "24 06:30 head circumferenceCm=25\n24 06:20 tube action=checked", "24 06:20",
			"next.rotation = 24 10:00  24 12:00\nnext.skin = 24 10:00  24 12:00\nnext.tube = 24 12:20  24 18:20\nonly next"},
		{"and a minute before it not", "24 06:30 head circumferenceCm=25\n24 06:20 tube action=checked", "24 06:19",
			"next.rotation = 24 10:00  24 12:00\nnext.skin = 24 10:00  24 12:00\nnext.tube = 24 12:00  24 18:00\nonly next"},
		{"what is due is not ahead", "24 06:30 head circumferenceCm=25", "24 10:00", "next.tube = 24 12:00  24 18:00\nonly next"},
		{"civil days of tomorrow", "24 06:30 head circumferenceCm=25\n18 06:00 circuit action=fitted", "24 10:00",
			"next.circuit = 2026-10-25\nnext.tube = 24 12:00  24 18:00\nonly next"},
		{"none of the day after", "24 06:30 head circumferenceCm=25\n19 06:00 circuit action=fitted", "24 10:00",
			"next.tube = 24 12:00  24 18:00\nonly next"},
		{"every task ahead, however far", "24 06:30 head circumferenceCm=25\n#5 24 07:00 task text=\"eye test\" dueAt=\"30 10:00\"",
			"24 10:00", "next.tube = 24 12:00  24 18:00\nnext.task.#5 = 30 10:00 eye test 30 11:00\nonly next"},
		{"no rotation while off", "24 06:30 head circumferenceCm=25\n24 07:00 interface type=off", "24 08:00",
			"next.rotation = -\nnext.skin = 24 10:00  24 12:00"},
		{"deferred, once due", "24 06:30 head circumferenceCm=25\n24 09:00 deferral what=rotation until=\"24 13:00\" reason=asleep",
			"24 10:00", "next.rotation = -\ndue.rotation = deferred 24 10:00"},
	})
}

// Facts that are older than their own interval.
func TestOld(t *testing.T) {
	rules(t, "", onCPAP, []rule{
		{"as old as two intervals", "24 06:00 observations spo2Percent=93 heartRateBpm=150 respRateBpm=50 axillaryC=37",
			"24 08:00", "only old"},
		{"older; a temperature never", "24 06:00 observations spo2Percent=93 heartRateBpm=150 respRateBpm=50 axillaryC=37", "24 08:01",
			"old.observations.spo2Percent = 24 06:00\nold.observations.heartRateBpm = 24 06:00\nold.observations.respRateBpm = 24 " +
				"06:00\nonly old"},
		{"by a plan", "24 06:00 plan what=observations every=2h reason=x\n24 06:00 observations spo2Percent=93", "24 10:00", "only old"},
		{"no interval: never", "24 06:00 plan what=observations every=none reason=x\n24 06:00 observations spo2Percent=93",
			"25 10:00", "only old"},
		{"chamber and water", "24 06:00 humidifier state=ready chamberC=37 water=ok\n24 07:00 humidifier water=ok",
			"24 10:00", "only old"},
		{"chamber, a minute later", "24 06:00 humidifier state=ready chamberC=37 water=ok\n24 07:00 humidifier water=ok", "24 10:01",
			"old.humidifier.chamberC = 24 06:00\nonly old"},
		{"water too", "24 06:00 humidifier state=ready chamberC=37\n24 06:30 humidifier water=ok", "24 10:31",
			"old.humidifier.chamberC = 24 06:00\nold.humidifier.water = 24 06:30\nonly old"},
		{"off: no temperature is shown", "24 06:00 humidifier state=ready chamberC=37 water=ok\n24 07:00 humidifier state=off",
			"24 12:00", "only old"},
		{"a site whose moment has come, deferred or not",
			"24 06:00 skin sites=bridge:blanching\n24 09:00 deferral what=skin until=\"24 13:00\" reason=asleep", "24 10:00",
			"old.skin.sites.bridge = 24 06:00\nonly old"},
		{"a site that nobody saw is no fact", "24 06:00 interface type=mask", "24 12:00", "only old"},
		{"the feeding tube", "24 06:00 tube action=placed route=oral markCm=15\n24 05:00 tube action=placed use=venting route=oral " +
			"markCm=15", "24 12:00", "old.tubes.feeding = 24 06:00\nonly old"},
		{"an outlook of a day", "24 07:00 outlook severity=stable", "25 06:00", "only old"},
		{"older (the clock went back in between)", "24 07:00 outlook severity=stable", "25 06:01", "old.outlook = 24 07:00\nonly old"},
		{"of before another mode", "24 07:00 outlook severity=stable\n24 07:30 support state=changed mode=bilevel", "24 08:00",
			"old.outlook = 24 07:00"},
		{"of before another driver", "24 07:00 outlook severity=stable\n24 07:30 support state=changed driver=ax-1", "24 08:00",
			"old.outlook = -"},
		{"of before a break", "24 07:00 outlook severity=stable\n24 07:30 support state=stopped\n24 07:40 support state=started mode=cpap",
			"24 08:00", "old.outlook = 24 07:00"},
	})
}

// The latest handover of the stay, but for one for a break.
func TestHandedOver(t *testing.T) {
	const ward = onCPAP + "@b 1 06:00 admission born=2026-10-01 cot=8 mrn=4800\n"
	const signed = "#20 24 07:00 handover to=m asOf=\"24 06:50\" infants=a,b\n"
	rules(t, "", ward, []rule{
		{"none", "", "24 09:00", "only infants.a.handedOver"},
		{"not accepted", signed, "24 09:00", "handedOver.entry = #20\nhandedOver.by = n\nhandedOver.to = m\nhandedOver.asOf = 24 06:50\n" +
			"handedOver.at = 24 07:00\nonly handedOver"},
		{"accepted, nothing charted of it", signed + "#21 24 07:05 acceptance handover=#20 infants=a by=m", "24 09:00",
			"handedOver.accepted.by = m\nhandedOver.accepted.at = 24 07:05\nhandedOver.accepted.entry = #21\n" +
				"handedOver.accepted.confirmed = -\nhandedOver.accepted.notConfirmed = pressure, fio2, interface, skin, tube\n" +
				"handedOver.accepted.readBack = -\nhandedOver.accepted.asked = -"},
		{"of another infant", signed + "24 07:05 acceptance handover=#20 infants=a,b confirmed={\"b\":[\"skin\"]} readBack=true asked=why",
			"24 09:00", "handedOver.accepted.confirmed = -\nhandedOver.accepted.readBack = true\nhandedOver.accepted.asked = why\n" +
				"infants.b.handedOver.accepted.confirmed = skin\ninfants.b.handedOver.accepted.notConfirmed = tube"},
		{"of several the first", signed + "24 07:05 acceptance handover=#20 infants=b by=m\n#22 24 07:06 acceptance handover=#20 " +
			"infants=a by=m\n24 07:07 acceptance handover=#20 infants=a by=o", "24 09:00", "handedOver.accepted.entry = #22"},
		{"no tube in, as is known now", signed + "24 06:00 tube action=none charted=\"24 08:00\"\n" +
			"24 07:05 acceptance handover=#20 infants=a", "24 09:00",
			"handedOver.accepted.notConfirmed = pressure, fio2, interface, skin"},
		{"on high-flow", signed + "24 06:10 support state=changed mode=high-flow\n24 07:05 acceptance handover=#20 infants=a", "24 09:00",
			"handedOver.accepted.notConfirmed = fio2, interface, skin, tube"},
		{"one for a break is none", "24 07:00 handover to=m asOf=\"24 06:50\" infants=a cover=true", "24 09:00",
			"only infants.a.handedOver"},
		{"the latest by its moment", signed + "#25 24 08:00 handover to=o asOf=\"24 06:40\" infants=a", "24 09:00",
			"handedOver.entry = #25"},
		{"of an earlier stay", signed + "24 07:30 discharge to=ward\n24 08:00 admission born=2026-10-01 cot=7 mrn=4711", "24 09:00",
			"only infants.a.handedOver"},
	})
}

// What applies now is what a handover of now leaves open that was accepted unseen.
func TestConfirmable(t *testing.T) {
	p := readPolicy(t, "{}")
	seen := map[string]bool{}
	for _, record := range []string{admitted, onCPAP, onCPAP + "24 06:10 support state=changed mode=high-flow",
		onCPAP + "24 06:10 support state=changed mode=bilevel", onCPAP + "24 06:10 support state=stopped",
		onCPAP + "24 06:10 tube action=none", admitted + "24 06:10 tube action=placed route=oral markCm=15"} {
		signed := "#20 24 08:50 handover to=m asOf=\"24 08:50\" infants=a\n24 08:55 acceptance handover=#20 infants=a"
		s := compiled(t, p, record+"\n"+signed, "24 09:00").Infants[0]
		if got, want := s.Confirmable(), s.HandedOver.Accepted.NotConfirmed; !slices.Equal(got, want) {
			t.Errorf("%s: %v, and %v was left open", record, got, want)
		}
		seen[strings.Join(s.Confirmable(), " ")] = true
	}
	if len(seen) < 4 {
		t.Errorf("only %v", seen)
	}
}

// Against what the last nurse was told: what had been charted by the handover.
func TestChangesAgainstWhatWasTold(t *testing.T) {
	const signed = "#20 24 07:10 handover to=m asOf=\"24 06:50\" infants=a\n24 07:15 acceptance handover=#20 infants=a\n"
	rules(t, "", onCPAP+signed, []rule{
		{"charted after asOf, by the handover: told", "24 06:40 settings fio2Percent=30 charted=\"24 07:10\"", "24 09:00", "only changes"},
		{"charted after it", "#5 24 06:40 settings fio2Percent=30 charted=\"24 07:11\"", "24 09:00",
			"changes.settings.fio2Percent = null to 30, late #5"},
		{"corrected before it was signed", "#5 24 06:40 settings fio2Percent=30\n24 07:05 correction of=#5 reason=slip -> 24 06:40 " +
			"settings fio2Percent=35", "24 09:00", "only changes"},
		{"corrected after it", "#5 24 06:40 settings fio2Percent=30\n24 07:20 correction of=#5 reason=slip -> 24 06:40 settings " +
			"fio2Percent=35", "24 09:00", "changes.settings.fio2Percent = 30 to 35, corrected #5"},
	})
}
