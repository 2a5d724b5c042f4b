package onetruth

import (
	"regexp"
	"strings"
	"time"
)

// again keeps items of one name apart: path[[name]] begins an item, path[<name]
// goes on with it.
func (r *faceReader) again(who, path string) string {
	list, name, begins := strings.Cut(path, "[[")
	if !begins {
		if list, name, _ = strings.Cut(path, "[<"); list == path {
			return path
		}
	}
	end := strings.LastIndex(name, "]")
	name, rest := strings.TrimSuffix(name[:end], "]"), name[end:]
	key := who + " " + list + " " + name
	if !begins {
		r.names[key]--
	}
	return list + "[" + strings.TrimPrefix(r.names.next(key), who+" "+list+" ") + rest
}

// filter turns words of a face into those of handover.json.
func (r *faceReader) filter(how, s string) string {
	switch how {
	case "word": // stage 1 is stage-1
		if s == notCharted {
			return s
		}
		return strings.ReplaceAll(strings.ReplaceAll(s, ", ", ","), " ", "-")
	case "words":
		return strings.ReplaceAll(r.filter("word", s), ",", ", ")
	case "lower":
		return strings.ToLower(s)
	case "sites":
		return sitesOf(s)
	case "time":
		return r.clock(s)
	case "began":
		return r.clock(sourceParts.FindStringSubmatch(s)[1])
	case "day":
		return r.day(s)
	case "text":
		return strings.TrimSuffix(strings.TrimPrefix(s, "“"), "”")
	case "standard":
		return r.standards[s]
	case "who":
		if who, ok := r.called[s]; ok {
			return who
		}
		r.fault("nobody is called %q", s)
	case "full":
		t, err := time.Parse("Mon 2 Jan 2006 15:04 (-07:00)", s)
		if err != nil {
			r.fault("%v", err)
		}
		return t.Format(minute)
	case "dueday":
		if s == notCharted {
			return s
		}
		m := dayAndReason.FindStringSubmatch(s)
		return r.day(m[1]) + " " + r.filter("word", m[2])
	case "none":
		if s == none {
			return notCharted
		}
	case "in":
		return map[string]string{"in": "true", "out": "false", "on": "true", "off": "false", notCharted: notCharted}[s]
	default:
		if table, ok := dictionary[how]; ok {
			w, ok := table[s]
			if !ok {
				r.fault("%q is no %s", s, how)
			}
			return w
		}
	}
	return s
}

var dayAndReason = regexp.MustCompile(pieces.Replace(`^(<day>) (.+)$`))

// dictionary are words that faces have for those of handover.json.
var dictionary = map[string]map[string]string{
	"field": {"pressure": "pressureCmH2O", "upper pressure": "upperPressureCmH2O", "rate": "rateMin", "inspiratory time": "inspiratoryS",
		"FiO2": "fio2Percent", "flow": "flowLMin", "SpO2 target low": "spo2LowPercent", "SpO2 target high": "spo2HighPercent",
		"lower bound of the SpO2 target": "spo2LowPercent", "upper bound of the SpO2 target": "spo2HighPercent"},
	"observed": {"SpO2": "spo2Percent", "SpO2 probe": "spo2Site", "heart rate": "heartRateBpm", "respiratory rate": "respRateBpm",
		"axillary temperature": "axillaryC", "airway temperature": "airwayC", "incubator temperature": "incubatorC",
		"abdomen": "abdomenCm", "pressure read": "pressureCmH2O", "oxygen read": "fio2Percent"},
	"due": {"rotation": "rotation", "skin check": "skin", "bonnet and head measure": "bonnet", "head measure": "head",
		"observations": "observations",
		"tube check":   "tube", "circuit change": "circuit", "oxygen sensor check": "oxygen-sensor", "water": "water",
		"humidifier check": "humidifier", "safety check": "safety"},
	"mode": {"CPAP": "cpap", "bilevel": "bilevel", "nasal ventilation": "ventilation", "high flow": "high-flow", "low flow": "low-flow",
		notCharted: notCharted},
	"why": {"": "happened", "ARRIVED LATE": "late", "CORRECTED": "corrected"},
	"times": {"never raised": "0", "raised once": "1", "raised twice": "2", "raised 3 times": "3", "raised 4 times": "4",
		"raised 5 times": "5", "raised 6 times": "6", "raised 7 times": "7", "raised 8 times": "8"},
	"noz": {"reading unreliable": "unreliable", "no standard for this sex, or it is not charted": "sex",
		"gestation not known to the day": "gestation", "age outside the standard": "age"},
	"change": {"NEW": "new", "WORSE": "worse", "better": "better", "another kind than before": "other"},
}

var sitesInOrder = strings.Split("septum columella naris-left naris-right bridge philtrum cheek-left cheek-right forehead ear-left "+
	"ear-right occiput", " ")

func sitesOf(s string) string {
	var out []string
	for _, p := range strings.Split(s, ", ") {
		if both, ok := map[string]string{"nares": "naris-left, naris-right", "cheeks": "cheek-left, cheek-right",
			"ears": "ear-left, ear-right"}[p]; ok {
			out = append(out, both)
		} else {
			out = append(out, strings.ReplaceAll(p, " ", "-"))
		}
	}
	return strings.Join(out, ", ")
}

// clock is a clock time as a moment: without a day it is of the handover's, without
// a year of the handover's; an hour that comes twice must say which it is.
func (r *faceReader) clock(s string) string {
	now := r.at.In(r.zone)
	m := clockParts.FindStringSubmatch(s)
	if m == nil {
		r.fault("%q is no clock time", s)
		return s
	}
	day := now
	if m[1] != "" {
		day = r.dayOf(strings.TrimSpace(m[1]))
	}
	clock, err := time.Parse("15:04", m[2])
	if err != nil {
		r.fault("%v", err)
	}
	t := time.Date(day.Year(), day.Month(), day.Day(), clock.Hour(), clock.Minute(), 0, 0, r.zone)
	both := []time.Time{t}
	if o := t.Add(-time.Hour); o.Format("02 15:04") == t.Format("02 15:04") {
		both = []time.Time{o, t}
	} else if o := t.Add(time.Hour); o.Format("02 15:04") == t.Format("02 15:04") {
		both = []time.Time{t, o}
	}
	switch {
	case len(both) == 2 && m[3] == "":
		r.fault("%q comes twice in that night", s)
	case len(both) == 1 && m[3] != "":
		r.fault("%q comes but once in that night", s)
	case m[3] == "second":
		t = both[1]
	default:
		t = both[0]
	}
	return t.Format(minute)
}

var clockParts = regexp.MustCompile(`^(\d{1,2} [A-Z][a-z]{2} (?:\d{4} )?)?(\d\d:\d\d)(?: \((first|second)\))?$`)

// dayOf is a day of the month, of the handover's year where it says none.
func (r *faceReader) dayOf(s string) time.Time {
	if t, err := time.Parse("2 Jan 2006", s); err == nil {
		return t
	}
	t, err := time.Parse("2 Jan 2006", s+r.at.In(r.zone).Format(" 2006"))
	if err != nil {
		r.fault("%q is no day", s)
	}
	return t
}

func (r *faceReader) day(s string) string {
	weekday := ""
	if len(s) > 4 && s[3] == ' ' && s[0] > '9' {
		weekday, s = s[:3], s[4:]
	}
	t := r.dayOf(s)
	if weekday != "" && weekday != t.Format("Mon") {
		r.fault("%s is no %s", s, weekday)
	}
	return t.Format(time.DateOnly)
}

var sourceParts = regexp.MustCompile(`^(` + clockTime + `)?(?: \((?:charted (` + clockTime + `))?(?:, )?(?:corrected by ([\w.-]+) (` +
	clockTime + `))?\))?$`)

// source adds the facts of "10:20 (charted 11:40, corrected by rn-reed 12:00)".
func (r *faceReader) source(base, key, text string) {
	m := sourceParts.FindStringSubmatch(text)
	if m == nil {
		r.fault("%s: %q is no moment", base, text)
		return
	}
	for i, name := range []string{"", key, "charted", "corrected.by", "corrected.charted"} {
		if i == 0 || m[i] == "" {
			continue
		}
		if i != 3 {
			m[i] = r.clock(m[i])
		}
		r.facts.put(base+"."+name, m[i])
	}
}
