package onetruth

import "strings"

// sources are where each fact comes from: who charted it, its entry, when where
// that differs, and the correction that holds. On paper what changed hands stands
// beside a moment, charted late from an hour on.
var sources = func() (out []row) {
	for _, of := range []struct{ bases, words, by, book, fhir string }{
		{"support settings.* observations.* silverman weight interface rotation.last skin.sites[] tubes[] tubes[].ph " +
			"tubes[].aspirateFrom head head.growthFrom cares[] alarms[]", "*", halfASheet, "Facts", "Observation"},
		{"indices episodes bonnet humidifier humidifier.chamberFrom", "*", halfASheet, "Facts", "Observation"},
		{"gas gas.* limits.* safety interface.fit interface.clear tubes[].aspirateMl tubes[].aspirateLook", "*", halfASheet, "Facts",
			"Observation"},
		{"told[] tubes[].xray setup.seal humidifier.waterFrom", "*", halfASheet, "Facts", "Observation"},
		{"setup.points[] birthWeight", halfASheet, halfASheet, "Facts", "Observation"},
		{"outlook notes[]", "*", "", "Facts", "Observation"},
		{"plans[]", "*", "", "Facts", "Task"},
		{"tasks[]", halfASheet, "", "Facts", "Task"},
		{"left[]", "*", halfASheet, "Facts", "– as left"},
	} {
		for _, base := range strings.Fields(of.bases) {
			if of.by != "" {
				out = append(out, row{base + ".by", of.by, of.book, of.fhir})
			}
			out = append(out,
				row{base + ".entry", halfASheet, of.book, of.fhir},
				row{base + ".charted " + base + ".corrected.charted " + base + ".corrected.by", of.words, of.book, of.fhir})
		}
	}
	return append(out, row{"bonnet.reasons[].entry", halfASheet, "Facts", "– the entry's own resource is sent"})
}()
