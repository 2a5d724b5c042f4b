package sheets

import (
	"regexp"
	"slices"
	"strings"

	"cotline/handover"
)

// factWords is what a fact of the sheet of facts is called: what it is of, then which part of it, in words; the path
// itself stands in a column of its own.
func factWords(path string) string {
	of, rest, deeper := strings.Cut(path, ".")
	head := partWords(of)
	if !deeper {
		return first(head)
	}
	if slices.Contains([]string{"settings", "observations", "limits", "gas"}, of) {
		if label := handover.FieldOf(of, rest).Label; label != "" {
			return label
		}
	}
	if of == "attention" || of == "doubts" { // the rest is the path of what it is about
		rest, _, _ = strings.Cut(rest, ".")
	}
	var words []string
	for _, part := range strings.Split(rest, ".") {
		if w := partWords(part); w != "" {
			words = append(words, w)
		}
	}
	return first(head) + ": " + strings.Join(words, " ")
}

func first(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// partWords is a step of a path in words; the unit that it ends in stands beside the value.
func partWords(part string) string {
	if w, ok := stepWords[part]; ok {
		return w
	}
	if strings.ToLower(part) != part {
		part = unitsAtTheEnd.ReplaceAllString(part, "")
	}
	return strings.ReplaceAll(pathWords(part), "-", " ")
}

var unitsAtTheEnd = regexp.MustCompile(`(Percent|CmH2O|CmPerWeek|Cm|G|C|Fr|Ml|Bpm|LMin|KPa|MmHg|MmolL)$`)

var stepWords = map[string]string{
	"attention": "look first", "handedOver": "handed over", "age": "age", "fio2": "FiO2 over the window",
	"spo2": "SpO2 over the window", "episodes": "episodes", "window": "in the window,", "day": "in 24 h,", "hoursUnder": "hours under",
	"sites": "", "tubes": "gastric tube", "helpedAt": "the last that needed help", "weightG": "weight", "z": "z-score",
	"sf": "S/F (set FiO2)", "severity": "severity", "osi": "OSI (set CPAP and FiO2)", "noZ": "why no z-score",
	"minPercent": "lowest", "maxPercent": "highest", "meanPercent": "mean", "meanBeforePercent": "mean of the window before",
	"count": "how many", "noTarget": "without a target", "dueAt": "due", "overdueAt": "overdue from", "dueOn": "due",
	"checkedAt": "checked", "stoppedAt": "stopped", "settledAt": "settled", "asOf": "as of", "ifThen": "if - then", "ph": "pH",
	"growthCmPerWeek": "growth a week", "growthFrom": "growth is counted from", "withinError": "growth within the error of two readings",
	"waterEmptyAt": "water runs out", "bonnet": "bonnet", "notComputed": "not computed", "setup": "set-up",
	"old":  "older than its interval",
	"xray": "seen on X-ray", "since": "since", "new": "new on the ward", "gaps": "not charted",
}
