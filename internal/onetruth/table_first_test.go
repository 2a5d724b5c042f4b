package onetruth

// What to look at first, what it rests on, and what is told as it was charted.

const (
	inTheRow    = "– the row's text says it"
	ownResource = "– the entry's own resource is sent"
)

var ofLookingFirst = []row{
	{"attention[].level attention[].text attention[].at", "Look first", "Facts", "section-first"},
	{"attention[].what attention[].path", inTheRow, "Facts", inTheRow},
	{"attention[].entry", halfASheet, "Facts", ownResource},
	{"next[].what next[].care next[].text next[].dueAt next[].overdueAt next[].on", "Next", "Facts", "section-due"},
	{"next[].task", halfASheet, "Facts", "– the Task is sent"},
	{"old[].path old[].at", "Old", "Facts", "section-mind"},
	{"doubts[].code doubts[].path doubts[].text", "Remarks", "Facts", "section-mind"},
	{"doubts[].entry", halfASheet, "Facts", ownResource},
	{"notComputed[].path notComputed[].why", "Not computed", "Facts", "– no figure is sent"},
	{"handedOver.by handedOver.to handedOver.asOf handedOver.at", "Handed over", "Facts", "section-changes"},
	{"handedOver.accepted", "Handed over", "Facts", "section-changes"},
	{"handedOver.accepted.by handedOver.accepted.at handedOver.accepted.confirmed handedOver.accepted.notConfirmed " +
		"handedOver.accepted.readBack handedOver.accepted.asked", "Handed over", "Facts", "section-changes"},
	{"handedOver.entry handedOver.accepted.entry", halfASheet, "Facts", "– found by its moment and who signed it"},
	{"late[].infant late[].how late[].text late[].at late[].charted late[].by", "Late", "Facts", "section-changes"},
	{"late[].kind", inTheRow, "Facts", inTheRow},
	{"late[].entry", halfASheet, "Facts", ownResource},
	{"attention next old doubts notComputed told", "– no line where there is none", "– a list without items has no row",
		"– nothing to tell sends nothing"},
	{"gas.sample gas.at gas.*.value gas.*.at", "Gas", "Facts", "Observation"},
	{"limits.*.value limits.*.at", "Limits", "Facts", "Observation"},
	{"safety.at safety.items[].item safety.items[].ok", "Safety", "Facts", "Observation"},
	{"told[].whom told[].about told[].answer told[].at", "Told", "Facts", "Observation"},
	{"support.why", "Support", "Facts", "Observation"},
	{"interface.fit.value interface.fit.at interface.clear.value interface.clear.at", "Interface", "Facts", "Observation"},
	{"tubes[].aspirateMl.value tubes[].aspirateMl.at tubes[].aspirateLook.value tubes[].aspirateLook.at tubes[].xray.at", "Tube", "Facts",
		"Observation"},
	{"cares[].amount cares[].look", "Cares", "Facts", "Observation"},
	{"setup.seal.at humidifier.waterFrom.at", "Set-up|Humidifier", "Facts", "Observation"},
	{"setup.notCharted", "Set-up", "Facts", "– what nobody ticked sends nothing"},
	{"thresholds[].first", inTheRow, "Facts", "– a rule that is met stands in section-first"},
}
