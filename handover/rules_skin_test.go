package handover_test

import "testing"

func TestSkinFindings(t *testing.T) {
	rules(t, "", onCPAP, []rule{
		{"never seen", "", "24 08:00", "skin.worst = -\nskin.checked = -\nonly skin.sites"},
		{"each site by itself", "#5 24 07:00 skin sites=septum:blanching:dry+crust,bridge:intact\n" +
			"#6 24 08:00 skin sites=bridge:stage-1::true", "24 09:00 since 24 06:30", `
			skin.sites.septum.finding = blanching
			skin.sites.septum.also = dry, crust
			skin.sites.septum.change = new
			skin.sites.septum.source = #5 24 07:00 n
			skin.sites.septum.underBarrier = -
			skin.sites.bridge.finding = stage-1
			skin.sites.bridge.change = new
			skin.sites.bridge.underBarrier = true
			skin.sites.bridge.source = #6 24 08:00 n
			skin.worst = bridge stage-1
			skin.checked = #6 24 08:00 n`},
		{"worst, on a tie the later seen", "24 07:00 skin sites=septum:stage-2\n24 08:00 skin sites=bridge:stage-2\n" +
			"24 08:30 skin sites=occiput:stage-1", "24 09:00", "skin.worst = bridge stage-2"},
		{"worst by the sorting order", "24 07:00 skin sites=septum:mucosal,bridge:stage-2,occiput:unstageable,forehead:stage-4",
			"24 09:00", "skin.worst = occiput unstageable"},
		{"seen of an earlier spell", "3 07:00 skin sites=septum:stage-1", "24 09:00",
			"skin.sites.septum.finding = stage-1\nskin.unseen = septum, columella, naris-left, naris-right, bridge, philtrum, " +
				"cheek-left, cheek-right, forehead, ear-left, ear-right, occiput"},
		{"unseen: half an hour before the spell is in", "24 05:30 skin sites=septum:intact,columella:intact\n" +
			"24 05:29 skin sites=bridge:intact\n24 08:00 skin sites=naris-left:intact,naris-right:intact", "24 09:00",
			"skin.unseen = bridge, philtrum, cheek-left, cheek-right, forehead, ear-left, ear-right, occiput"},
		{"all seen", "24 08:00 skin sites=septum:intact,columella:intact,naris-left:intact,naris-right:intact,bridge:intact," +
			"philtrum:intact,cheek-left:intact,cheek-right:intact,forehead:intact,ear-left:intact,ear-right:intact,occiput:intact",
			"24 09:00", "skin.unseen = none\nskin.worst = septum intact"},
	})
	rules(t, "", admitted, []rule{{"off support nothing is unseen", "24 07:00 skin sites=septum:intact", "24 09:00",
		"skin.unseen = -\nskin.sites.septum.finding = intact"}})
}

// Change against the last finding at or before since.
func TestSkinChange(t *testing.T) {
	for _, c := range []struct{ was, is, want string }{
		{"", "intact", "-"}, {"", "blanching", "new"}, {"", "deep", "new"},
		{"intact", "intact", "same"}, {"intact", "blanching", "worse"}, {"stage-1", "blanching", "better"},
		{"stage-2", "intact", "better"},
		{"stage-2", "mucosal", "worse"}, {"mucosal", "stage-2", "better"}, {"stage-2", "deep", "worse"},
		{"stage-3", "stage-4", "other"}, {"stage-4", "stage-3", "other"}, {"mucosal", "stage-3", "other"}, {"deep", "mucosal", "other"},
		{"unstageable", "deep", "other"},
		{"stage-3", "stage-3", "same"}, {"mucosal", "mucosal", "same"}, {"deep", "stage-1", "better"},
	} {
		record := "24 09:00 skin sites=septum:" + c.is
		if c.was != "" {
			record += "\n24 08:00 skin sites=septum:" + c.was // at since
		}
		rules(t, "", onCPAP, []rule{{c.was + " to " + c.is, record, "24 10:00 since 24 08:00", "skin.sites.septum.change = " + c.want}})
	}
	rules(t, "", onCPAP, []rule{
		{"not seen since", "24 07:00 skin sites=septum:stage-1", "24 10:00 since 24 08:00", "skin.sites.septum.change = same"},
		{"the last before the window, not the first", "24 06:30 skin sites=septum:stage-2\n24 07:00 skin sites=septum:stage-1\n" +
			"24 09:00 skin sites=septum:stage-2", "24 10:00 since 24 08:00", "skin.sites.septum.change = worse"},
	})
}

// Due by the policy: 4 h and 6 h for sites under the interface and any that is not
// intact, 12 h and 24 h for those under bonnet and straps.
func TestSkinDue(t *testing.T) {
	const all = "septum:intact,columella:intact,naris-left:intact,naris-right:intact,bridge:intact,philtrum:intact,cheek-left:intact," +
		"cheek-right:intact,forehead:intact,ear-left:intact,ear-right:intact,occiput:intact"
	const masked = "24 06:00 interface type=mask\n"
	rules(t, "", onCPAP, []rule{
		{"under the mask, from its start", masked, "24 09:59", "skin.dueAt = 24 10:00\nskin.overdue = 24 12:00\n" +
			"skin.dueSites = bridge, philtrum, cheek-left, cheek-right\nskin.state = not-due\ndue.skin = -"},
		{"due from that moment on", masked, "24 10:00", "skin.state = due\ndue.skin = due 24 10:00"},
		{"overdue", masked, "24 12:00", "skin.state = overdue\ndue.skin = overdue 24 10:00\ndue.skin.overdueAt = 24 12:00"},
		{"from the latest check", masked + "24 08:00 skin sites=" + all, "24 09:00",
			"skin.dueAt = 24 12:00\nskin.dueSites = bridge, philtrum, cheek-left, cheek-right"},
		{"a check of some sites", masked + "24 08:00 skin sites=bridge:intact,philtrum:intact", "24 10:00",
			"skin.dueAt = 24 10:00\nskin.dueSites = cheek-left, cheek-right\nskin.state = due"},
		{"all that are due, the earliest first in time", masked + "24 07:00 skin sites=bridge:intact,philtrum:intact", "24 11:00",
			"skin.dueAt = 24 10:00\nskin.dueSites = bridge, philtrum, cheek-left, cheek-right"},
		{"a site that is not intact, whatever lies on it", masked + "24 06:30 skin sites=septum:stage-1," + all[len("septum:intact,"):],
			"24 08:00", "skin.dueAt = 24 10:30\nskin.dueSites = septum, bridge, philtrum, cheek-left, cheek-right"},
		{"only the one that is not intact", "24 06:30 skin sites=septum:stage-1", "24 10:30",
			"skin.dueAt = 24 10:30\nskin.dueSites = septum\nskin.state = due"},
		{"under bonnet and straps, from the first type on",
			masked + "24 17:30 skin sites=bridge:intact,philtrum:intact,cheek-left:intact,cheek-right:intact", "24 18:00",
			"skin.dueAt = 24 18:00\nskin.dueSites = forehead, ear-left, ear-right, occiput\nskin.overdue = 24 23:30\nskin.state = due"},
		{"under bonnet and straps, no interface charted: the spell's start", "", "24 18:00",
			"skin.dueAt = 24 18:00\nskin.dueSites = forehead, ear-left, ear-right, occiput"},
	})
	rules(t, "", onCPAP+"24 07:00 interface type=mask\n", []rule{
		// under both, since 07:00
		{"another type: its own sites, from when it went on", "24 09:00 interface type=prongs", "24 10:00",
			"skin.dueAt = 24 11:00\nskin.dueSites = philtrum"},
		{"sites under both go on without another type between", "24 09:00 interface type=prongs\n24 09:30 skin sites=philtrum:intact",
			"24 10:00", "skin.dueAt = 24 13:00\nskin.dueSites = septum, columella, naris-left, naris-right"},
		{"the same again", "24 09:00 interface type=mask size=M", "24 10:00", "skin.dueAt = 24 11:00"},
		{"back: from the later start", "24 08:00 interface type=prongs\n24 09:00 interface type=mask\n24 08:30 skin sites=philtrum:intact",
			"24 10:00", "skin.dueAt = 24 12:30\nskin.dueSites = philtrum"},
		{"off is looked through, a rest too", "24 08:00 interface type=off\n24 09:30 interface type=mask", "24 10:00",
			"skin.dueAt = 24 11:00\nskin.dueSites = bridge, philtrum, cheek-left, cheek-right"},
		{"off going on: the latest type that was on", "24 08:00 interface type=off", "24 11:00",
			"skin.dueAt = 24 11:00\nskin.state = due"},
		{"a break goes on", "24 08:00 support state=stopped\n24 08:30 support state=started mode=cpap", "24 10:00",
			"skin.dueAt = 24 11:00"},
		{"a new spell: from its start", "24 08:00 support state=stopped\n24 09:30 support state=started mode=cpap", "24 10:00",
			"skin.dueAt = 24 13:30"},
		{"in a break nothing is due", "24 08:00 support state=stopped", "24 11:00", "skin.dueAt = -\nskin.state = -\nonly due.skin"},
	})
	rules(t, "", onCPAP+"24 06:30 skin sites=septum:stage-1,bridge:intact\n24 07:00 support state=stopped\n", []rule{
		{"off support: sites that are not intact", "", "24 11:00",
			"skin.dueAt = 24 10:30\nskin.dueSites = septum\nskin.state = due\ndue.skin = due 24 10:30"},
	})
	rules(t, "", admitted+"24 06:00 support state=started mode=low-flow\n24 06:00 interface type=cannula\n", []rule{
		{"low-flow has skin due", "", "24 10:00", "skin.dueSites = naris-left, naris-right, philtrum, cheek-left, cheek-right\n" +
			"skin.state = due"},
	})
}

func TestSkinDueByPolicyAndPlan(t *testing.T) {
	const masked = onCPAP + "24 06:00 interface type=mask\n"
	rules(t, `{"every":{"skinDue":"none","skinOverdue":"none"}}`, masked, []rule{
		{"none: under bonnet and straps still", "", "24 12:00",
			"skin.dueAt = 24 18:00\nskin.dueSites = forehead, ear-left, ear-right, occiput"},
		{"none, a plan: 2 h apart", "24 06:00 plan what=skin every=3h reason=sore", "24 11:00",
			"skin.dueAt = 24 09:00\nskin.overdue = 24 11:00\nskin.state = overdue"},
	})
	rules(t, `{"every":{"skinDue":"none","skinOverdue":"none","headSkinDue":"none","headSkinOverdue":"none"}}`, masked, []rule{
		{"none at all", "24 06:30 skin sites=septum:stage-1", "25 12:00", "skin.dueAt = -\nskin.state = -\ndue.skin = -"},
	})
	rules(t, `{"every":{"skinOverdue":"none"}}`, masked, []rule{
		{"never overdue", "", "24 17:00", "skin.state = due\nskin.overdue = 25 05:00"}, // of those under bonnet and straps
		{"a plan: 2 h apart", "24 06:00 plan what=skin every=3h reason=sore", "24 11:00", "skin.overdue = 24 11:00"},
	})
	rules(t, "", masked, []rule{
		{"a plan keeps the policy's distance", "24 06:00 plan what=skin every=90m reason=sore", "24 09:30",
			"skin.dueAt = 24 07:30\nskin.overdue = 24 09:30\nskin.state = overdue\ndue.skin.every = -"},
		{"a plan leaves bonnet and straps alone", "24 06:00 plan what=skin every=none reason=sore", "24 18:00",
			"skin.dueAt = 24 18:00\nskin.dueSites = forehead, ear-left, ear-right, occiput"},
	})
	rules(t, `{"every":{"skinDue":"3h","skinOverdue":"8h"}}`, masked, []rule{
		{"a plan keeps the distance of this policy", "24 06:00 plan what=skin every=1h reason=sore", "24 07:00",
			"skin.dueAt = 24 07:00\nskin.overdue = 24 12:00"},
	})
	// The earliest overdue may be of another site than the earliest due.
	rules(t, `{"every":{"skinDue":"4h","skinOverdue":"20h","headSkinDue":"5h","headSkinOverdue":"6h"}}`, masked, []rule{
		{"due by one, overdue by another", "", "24 12:00", "skin.dueAt = 24 10:00\nskin.overdue = 24 12:00\nskin.state = overdue"},
	})
}
