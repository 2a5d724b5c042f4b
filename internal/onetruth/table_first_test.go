package onetruth

// What to look at first, what it rests on, and what is told as it was charted.

const (
	// asOneText are rows that are held together, as attention.words.
	asOneText = "– in attention.words, with its mark"
	// byMoment are rows that a face in words tells by the age beside a moment.
	byMoment    = "– beside its moment, as old"
	inTheRow    = "– the row's text says it"
	ownResource = "– the entry's own resource is sent"
)

var ofLookingFirst = []row{
	{"attention.words", "*", "– as rows of attention", "– as rows of attention"},
	{"attention[].level attention[].text", asOneText, "Facts", "section-first"},
	{"attention[].at", asOneText, "Facts", inTheRow},
	{"attention[].what attention[].path", inTheRow, "Facts", inTheRow},
	{"attention[].entry", halfASheet, "Facts", ownResource},
	{"next[].what next[].care next[].text next[].dueAt next[].overdueAt next[].on", "Next", "Due", "section-due"},
	{"next[].task", halfASheet, "Due", "– the Task is sent"},
	{"old[].path old[].at", byMoment, "Facts", byMoment},
	{"doubts[].code doubts[].path", inTheRow, "Facts", inTheRow},
	{"doubts[].text", "Remarks", "Facts", "section-mind"},
	{"doubts[].entry", halfASheet, "Facts", ownResource},
	{"notComputed[].why", "– in the words of the facts that lack", "Facts", "– no figure is sent"},
	{"notComputed[].path", "Not computed", "Facts", "– no figure is sent"},
	{"handedOver.by handedOver.to handedOver.asOf handedOver.at", "Handed over", "Facts", "section-changes"},
	{"handedOver.accepted", "Handed over", "Facts", "section-changes"},
	{"handedOver.accepted.confirmed handedOver.accepted.notConfirmed", "Handed over", "Facts", "section-changes"},
	{"handedOver.accepted.by handedOver.accepted.at handedOver.accepted.readBack", "Handed over", "Facts", "section-changes"},
	{"handedOver.accepted.asked", "Handed over", "Facts", "– it may be about another infant, and name it"},
	{"handedOver.entry handedOver.accepted.entry", halfASheet, "Facts", "– found by its moment and who signed it"},
	{"late[].infant late[].how late[].text late[].at late[].charted late[].by", "Late", "Facts", "section-changes"},
	{"late[].kind", inTheRow, "Facts", inTheRow},
	{"late[].entry", halfASheet, "Facts", ownResource},
	{"attention next old doubts notComputed told", "– no line where there is none", "– a list without items has no row",
		"– nothing to tell sends nothing"},
	{"observations.spo2Percent observations.heartRateBpm observations.respRateBpm", "– among the gaps", "Facts",
		"– what nobody charted is not sent"},
	{"gas.sample gas.at", "Gas", "Facts", "Observation"},
	{"gas.*.value gas.*.at", "Gas", "Facts", "Observation"},
	{"limits.*.value limits.*.at", "Limits", "Facts", "Observation"},
	{"safety.at", "Safety", "Facts", "Observation"},
	{"safety.items[].item safety.items[].ok", "Safety", "Facts", "Observation"},
	{"told[].whom told[].about told[].answer told[].at", "Told", "Facts", "Observation"},
	{"support.why", "Support", "Facts", "Observation"},
	{"interface.fit.value interface.fit.at interface.clear.value interface.clear.at", "Interface", "Facts", "Observation"},
	{"tubes[].aspirateMl.value tubes[].aspirateMl.at tubes[].aspirateLook.value tubes[].aspirateLook.at", "Tube", "Facts",
		"Observation"},
	{"tubes[].xray.at", "Tube", "Facts", "Observation"},
	{"cares[].amount cares[].look", "Cares", "Facts", "Observation"},
	{"setup.seal.at humidifier.waterFrom.at", "– the state is told, its moment where it is old", "Facts", "Observation"},
	{"setup.notCharted", "Set-up", "Facts", "– what nobody ticked sends nothing"},
	{"thresholds[].first", inTheRow, "– its row of attention says it", "– a rule that is met stands in section-first"},
}
