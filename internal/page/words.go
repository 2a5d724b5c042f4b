package page

import (
	"strings"
	"unicode"

	"cotline/handover"
	"cotline/handover/entry"

	"golang.org/x/text/unicode/bidi"
)

// Caution stands on every face.
const Caution = "Aid to handover: not a device, a monitor or an order. Local policy, the prescriber and the " +
	"manufacturer's instructions win. Look at the infant."

// shortCaution is the caution for the margin of a sheet.
const shortCaution = "Aid to handover, not an order. Look at the infant."

// An isolate keeps charted text from turning round what stands beside it
// (Unicode Standard Annex 9). The marks are ours alone: said takes out any that
// were charted.
const (
	isolate = "\u2068"
	release = "\u2069"
)

// said is charted text on one line: control characters and charted direction
// marks replaced, isolated from its surroundings.
func said(s string) string {
	s = strings.Join(strings.Fields(strings.Map(harmless, strings.ToValidUTF8(s, "\uFFFD"))), " ")
	if s == "" {
		return ""
	}
	return isolate + s + release
}

// quoted is a charted sentence: the quotes say where its words end.
func quoted(s string) string {
	if s = said(s); s == "" {
		return ""
	}
	return "“" + s + "”"
}

func harmless(r rune) rune {
	switch {
	case unicode.IsSpace(r):
		return ' '
	case unicode.IsControl(r), r >= 0x202A && r <= 0x202E, r >= 0x2066 && r <= 0x2069, r == 0x200E, r == 0x200F, r == 0x061C, r == 0xFEFF:
		return '\uFFFD'
	}
	return r
}

// turns says whether s holds anything that is written from right to left.
func turns(s string) bool {
	for i := 0; i < len(s); {
		p, n := bidi.LookupString(s[i:])
		if c := p.Class(); c == bidi.R || c == bidi.AL || c == bidi.AN {
			return true
		}
		i += max(n, 1)
	}
	return false
}

// modeSaid is a mode of support as the trade writes it; any other word is itself.
func modeSaid(mode string) string {
	if said, ok := modes[mode]; ok {
		return said
	}
	return mode
}

var modes = map[string]string{
	"cpap": "CPAP", "bilevel": "bilevel", "ventilation": "nasal ventilation", "high-flow": "high flow", "low-flow": "low flow",
}

// plain is a word of the record as it is read: stage-1 is stage 1.
func plain(word string) string { return strings.ReplaceAll(word, "-", " ") }

func plains(words []string) string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = plain(w)
	}
	return strings.Join(out, ", ")
}

// pairs are sites that are said in one word when both sides are meant.
var pairs = map[string]string{"naris": "nares", "cheek": "cheeks", "ear": "ears"}

// sitesSaid lists sites, both sides of a pair as one.
func sitesSaid(sites []string) string {
	var out []string
	for i, s := range sites {
		side, left := strings.CutSuffix(s, "-left")
		switch right, isRight := strings.CutSuffix(s, "-right"); {
		case left && i+1 < len(sites) && sites[i+1] == side+"-right":
			out = append(out, pairs[side])
		case isRight && i > 0 && sites[i-1] == right+"-left":
		default:
			out = append(out, plain(s))
		}
	}
	return strings.Join(out, ", ")
}

// dueNames are what falls due, as it is said.
var dueNames = map[string]string{
	"rotation": "rotation", "skin": "skin check", "bonnet": "bonnet and head measure", "head": "head measure",
	"observations": "observations", "tube": "tube check", "circuit": "circuit change",
	"oxygen-sensor": "oxygen sensor check", "water": "water",
	"humidifier": "humidifier check", "safety": "safety check",
}

func dueName(d handover.Due) string {
	switch d.What {
	case "care":
		return plain(d.Care)
	case "task":
		return "task " + quoted(d.Text)
	}
	return dueNames[d.What]
}

// whyDue is what is due about a thing, and the interval that it is counted by.
func whyDue(d handover.Due) string {
	var why []string
	switch {
	case d.Why == "":
	case d.State == "deferred":
		why = append(why, quoted(d.Why))
	case d.What == "skin":
		why = append(why, sitesSaid(strings.Split(d.Why, ", ")))
	default:
		why = append(why, said(plain(d.Why)))
	}
	switch {
	case d.Planned:
		why = append(why, "plan "+d.Every)
	case d.Every != "":
		why = append(why, "unit policy "+d.Every)
	}
	return strings.Join(why, "; ")
}

// noZ says why a measurement has no place on a growth standard.
var noZ = map[string]string{
	"unreliable": "reading unreliable", "sex": "no standard for this sex, or it is not charted",
	"gestation": "gestation not known to the day", "age": "age outside the standard",
}

// pathWords are paths that a sentence names otherwise than a column does.
var pathWords = map[string]string{
	"settings.spo2LowPercent": "lower bound of the SpO2 target", "settings.spo2HighPercent": "upper bound of the SpO2 target",
	"outlook.severity": "outlook", "staff": "staff key", "humidifier.waterMl": "amount of water hung",
}

// pathSaid names a fact; one that the table of facts has no word for goes by its
// path.
func pathSaid(path string) string {
	if gas, ok := strings.CutPrefix(path, "setup.points."); ok {
		return "oxygen sensor in " + gas + " %"
	}
	label := handover.LabelOf(path)
	if w, ok := pathWords[path]; ok {
		return w
	}
	switch field, set := strings.CutPrefix(path, "settings."); {
	case label == "":
		return path
	case strings.HasPrefix(path, "observations."):
		return entry.InSentence(label)
	case set:
		return settingName(field)
	}
	return label
}

func settingName(field string) string {
	return strings.ReplaceAll(strings.TrimPrefix(handover.FieldOf("settings", field).Label, "Set "), ",", "")
}

func withUnit(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + " " + unit
}

// plainText is text for where nothing can stand apart.
func plainText(s string) string { return strings.NewReplacer(isolate, "", release, "").Replace(s) }
