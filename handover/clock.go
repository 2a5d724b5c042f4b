package handover

import (
	"strings"
	"time"

	"cotline/handover/entry"
)

// clock is a moment as the unit's clock shows it, with the day where that is not
// the handover's; of an hour that the clock shows twice, which of the two.
func (r *reading) clock(t time.Time) string {
	local, now := t.In(r.p.Zone), r.at.In(r.p.Zone)
	s := local.Format("15:04") + entry.WhichOfTwo(local)
	switch {
	case local.Year() != now.Year():
		return local.Format("2 Jan 2006 ") + s
	case local.YearDay() != now.YearDay():
		return local.Format("2 Jan ") + s
	}
	return s
}

// plainWords are a word's as a person says them: without hyphens.
func plainWords(word string) string {
	switch word {
	case "cpap":
		return "CPAP"
	case "ventilation":
		return "nasal ventilation"
	}
	return strings.ReplaceAll(word, "-", " ")
}

// oneLine is a text without its line breaks.
func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }
