package onetruth

import "strings"

// sources are where each fact comes from: who charted it, its entry, when where
// that differs, and the correction that holds. On paper what changed hands stands
// beside a moment, charted late from an hour on.
var sources = func() (out []row) {
	for _, of := range []struct{ bases, words, by, fhir string }{
		{"support settings.* observations.* silverman weight interface rotation.last skin.sites[] tubes[] tubes[].ph tubes[].aspirateFrom tubes[].aspirateMl tubes[].aspirateLook tubes[].xray interface.fit interface.clear gas told[] safety head head.growthFrom cares[] alarms[]", "*", halfASheet, "Observation"},
		{"indices episodes bonnet humidifier humidifier.chamberFrom", "*", halfASheet, "Observation"},
		{"setup.points[] birthWeight", halfASheet, halfASheet, "Observation"},
		{"outlook notes[]", "*", "", "Observation"},
		{"plans[]", "*", "", "Task"},
		{"tasks[]", halfASheet, "", "Task"},
		{"left[]", "*", halfASheet, "– as left"},
	} {
		for _, base := range strings.Fields(of.bases) {
			if of.by != "" {
				out = append(out, row{base + ".by", of.by, "Facts", of.fhir})
			}
			out = append(out,
				row{base + ".entry", halfASheet, "Facts", of.fhir},
				row{base + ".charted " + base + ".corrected.charted " + base + ".corrected.by", of.words, "Facts", of.fhir})
		}
	}
	return append(out, row{"bonnet.reasons[].entry", halfASheet, "Facts", "– the entry's own resource is sent"})
}()
