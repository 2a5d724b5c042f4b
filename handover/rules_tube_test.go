package handover_test

import "testing"

func TestTube(t *testing.T) {
	const placed = "#3 24 06:00 tube action=placed route=oral sizeFr=6 markCm=15.0\n"
	rules(t, "", admitted, []rule{
		{"nobody charted one", "", "24 08:00", "tubes = not charted"},
		{"looked, none in", "24 07:00 tube action=none", "24 08:00", "tubes = none"},
		{"placed", placed, "24 08:00", `
			tubes.feeding.route = oral
			tubes.feeding.sizeFr = 6
			tubes.feeding.markCm = 15.0
			tubes.feeding.referenceMarkCm = 15.0
			tubes.feeding.moved = false
			tubes.feeding.checkedAt = 24 06:00
			tubes.feeding.source = #3 24 06:00 n
			tubes.feeding.ph = -
			tubes.feeding.aspirate = -`},
		{"found when none is in brings it in", "#3 24 06:00 tube action=found route=nasal markCm=16", "24 08:00",
			"tubes.feeding.route = nasal\ntubes.feeding.referenceAt = 24 06:00\ntubes.feeding.sizeFr = not charted\nonly remarks"},
		{"found as it was is a check", placed + "24 07:00 tube action=found route=oral sizeFr=6 markCm=16.0", "24 08:00",
			"tubes.feeding.referenceMarkCm = 15.0\ntubes.feeding.markCm = 16.0\ntubes.feeding.moved = true\n" +
				"tubes.feeding.checkedAt = 24 07:00"},
		{"found without a size is a check", placed + "24 07:00 tube action=found route=oral markCm=15.5", "24 08:00",
			"tubes.feeding.referenceMarkCm = 15.0\ntubes.feeding.sizeFr = 6"},
		{"found of the same size, written otherwise, is a check", placed + "24 07:00 tube action=found route=oral sizeFr=6.0 markCm=15.5",
			"24 08:00", "tubes.feeding.referenceMarkCm = 15.0\ntubes.feeding.sizeFr = 6.0"},
		{"found by another route brings in another", placed + "24 07:00 tube action=found route=nasal markCm=16.0", "24 08:00",
			"tubes.feeding.referenceMarkCm = 16.0\ntubes.feeding.route = nasal\ntubes.feeding.sizeFr = not charted"},
		{"found of another size brings in another", placed + "24 07:00 tube action=found route=oral sizeFr=5 markCm=16.0", "24 08:00",
			"tubes.feeding.referenceMarkCm = 16.0\ntubes.feeding.sizeFr = 5"},
		{"placed anew", placed + "24 07:00 tube action=placed route=oral markCm=16.5", "24 08:00",
			"tubes.feeding.referenceMarkCm = 16.5\ntubes.feeding.moved = false\ntubes.feeding.sizeFr = not charted"},
		{"moved by the limit, in", placed + "#4 24 07:00 tube action=checked markCm=16.0", "24 08:00",
			"tubes.feeding.moved = true\ntubes.feeding.source = #4 24 07:00 n"},
		{"moved by less", placed + "24 07:00 tube action=checked markCm=15.9999", "24 08:00", "tubes.feeding.moved = false"},
		{"moved outwards", placed + "24 07:00 tube action=checked markCm=14.0", "24 08:00", "tubes.feeding.moved = true"},
		{"repositioned: a new reference", placed + "24 07:00 tube action=checked markCm=17\n#5 24 07:10 tube action=repositioned " +
			"markCm=15.5\n24 07:30 tube action=checked markCm=16.0", "24 08:00",
			"tubes.feeding.referenceMarkCm = 15.5\ntubes.feeding.referenceAt = 24 07:10\ntubes.feeding.moved = false"},
		{"a check without a mark", placed + "24 07:00 tube action=checked ph=5.0 aspirate=got\n24 07:30 tube action=checked aspirate=none",
			"24 08:00", `
			tubes.feeding.markCm = 15.0
			tubes.feeding.source = #3 24 06:00 n
			tubes.feeding.checkedAt = 24 07:30
			tubes.feeding.ph = 5.0
			tubes.feeding.ph.source = #1003 24 07:00 n
			tubes.feeding.aspirate = none`},
		{"removed: not applicable", placed + "24 07:00 tube action=removed", "24 08:00", "tubes = none\nonly remarks"},
		{"removed and placed at one moment: removed comes first",
			placed + "#9 24 07:00 tube action=removed\n#4 24 07:00 tube action=placed route=nasal markCm=16", "24 08:00",
			"tubes.feeding.route = nasal\nonly remarks"},
		{"none, with one in", placed + "24 07:00 tube action=none", "24 08:00", "tubes = none"},
		{"pH of the tube before stays with it", placed + "24 06:10 tube action=checked ph=5.0\n24 07:00 tube action=placed route=oral " +
			"markCm=16", "24 08:00", "tubes.feeding.ph = -"},

		{"a check without a tube", "#4 24 07:00 tube action=checked markCm=15", "24 08:00",
			"tubes = not charted\nremarks.0 = #4 a feeding tube checked, and none charted as in"},
		{"each remark is told once", "#4 24 07:00 tube action=checked markCm=15\n#5 24 07:10 tube action=checked\n" +
			"#6 24 07:20 interface type=mask\n#7 24 07:30 interface type=mask reason=rotation", "24 08:00", `
			remarks.0 = #7 called a rotation, but mask to mask
			remarks.1 = #4 a feeding tube checked, and none charted as in
			remarks.2 = #5 a feeding tube checked, and none charted as in
			only remarks`},
		{"repositioned without a tube", "#4 24 07:00 tube action=repositioned markCm=15", "24 08:00",
			"tubes = not charted\nremarks.0 = #4 a feeding tube repositioned, and none charted as in"},
		{"removed without a tube", "#4 24 07:00 tube action=removed", "24 08:00",
			"tubes = not charted\nremarks.0 = #4 a feeding tube removed, and none charted as in"},
		{"checked after it was removed", placed + "24 07:00 tube action=removed\n#5 24 07:30 tube action=checked markCm=15", "24 08:00",
			"tubes = none\nremarks.0 = #5 a feeding tube checked, and none charted as in"},
	})
	rules(t, `{"tube":{"movedCm":0.5}}`, admitted, []rule{
		{"the limit is the unit's", placed + "24 07:00 tube action=checked markCm=15.5", "24 08:00", "tubes.feeding.moved = true"},
		{"in decimal, not in binary", "24 06:00 tube action=placed route=oral markCm=15.3\n24 07:00 tube action=checked markCm=15.8",
			"24 08:00", "tubes.feeding.moved = true"},
	})
}

func TestTubesByUse(t *testing.T) {
	const both = "24 06:00 tube action=placed route=oral markCm=15.0\n24 06:00 tube action=placed use=venting route=oral " +
		"sizeFr=8 markCm=17.0\n"
	rules(t, "", admitted, []rule{
		{"each by itself", both + "24 07:00 tube action=checked use=venting markCm=18.0", "24 08:00",
			"tubes.feeding.markCm = 15.0\ntubes.venting.markCm = 18.0\ntubes.venting.moved = true\ntubes.feeding.moved = false"},
		{"one removed", both + "24 07:00 tube action=removed", "24 08:00", "tubes.venting.markCm = 17.0\nonly tubes.feeding"},
		{"none of one use tells of the section", "24 07:00 tube action=none use=venting", "24 08:00", "tubes = none"},
		{"due: for feeding only", "24 06:00 tube action=placed use=venting route=oral markCm=17.0", "24 18:00", "due.tube = -"},
		{"due from the latest entry", both + "24 07:00 tube action=checked", "24 13:00",
			"due.tube = due 24 13:00\ndue.tube.overdueAt = 24 19:00\ndue.tube.every = 6h"},
		{"a check of the other does not count", both + "24 07:00 tube action=checked use=venting", "24 12:00", "due.tube = due 24 12:00"},
		{"overdue at twice the interval", both, "24 18:00", "due.tube = overdue 24 12:00"},
	})
}

// The estimate of the length goes by the latest weight of the stay, not older than
// weightUpTo (14 days); the birth weight counts, at birth.
func TestTubeEstimate(t *testing.T) {
	const born = "#1 1 06:00 admission born=\"1 05:00\" cot=7 mrn=4711 birthWeightG=1000\n"
	const placed = "24 06:00 tube action=placed route=oral markCm=15.0\n"
	const tooOld = "tubes.feeding.estimateCm = left out: the latest weight is older than the unit's limit\ntubes.feeding.estimateBy = -"
	rules(t, "", born, []rule{
		{"by the birth weight", "2 06:00 tube action=placed route=nasal markCm=15.0", "2 07:00",
			"tubes.feeding.estimateCm = 16.0\ntubes.feeding.estimateWeightAt = 1 05:00"},
		{"by a later one", placed + "20 06:00 weight weightG=1100", "24 07:00",
			"tubes.feeding.estimateCm = 15.3\ntubes.feeding.estimateWeightAt = 20 06:00"},
		{"exactly at the limit", placed + "10 07:00 weight weightG=1100", "24 07:00", "tubes.feeding.estimateCm = 15.3"},
		{"a minute over it", placed + "10 07:00 weight weightG=1100", "24 07:01", tooOld},
		{"the birth weight too", placed, "24 07:00", tooOld},
	})
	rules(t, "", admitted, []rule{
		{"no weight", placed, "24 07:00", "tubes.feeding.estimateCm = left out: weight not charted in this stay"},
		{"a weight of an earlier stay", "3 06:00 weight weightG=1000\n4 06:00 discharge to=ward\n" +
			"5 06:00 admission born=2026-10-01 cot=7 mrn=4711\n6 06:00 tube action=placed route=oral markCm=15", "6 07:00",
			"tubes.feeding.estimateCm = left out: weight not charted in this stay\nweight.weightG = 1000"},
	})
	rules(t, `{"tube":{"lengthBy":"none"}}`, born, []rule{
		{"none by policy", "2 06:00 tube action=placed route=nasal markCm=15.0", "2 07:00",
			"tubes.feeding.estimateCm = -\ntubes.feeding.estimateBy = -"},
	})
}
