package onetruth

import (
	"maps"
	"slices"
	"strings"
	"time"
)

// expectedInWords are the facts as clock times and labels can tell them.
func (f facts) expectedInWords() facts {
	out := f.expected(inWords)
	for key := range out {
		if !f.toldInWords(key) {
			delete(out, key)
		}
	}
	for key, value := range out { // clock times have no seconds
		out[key] = toMinute(value)
	}
	for _, key := range f.keys() {
		who, path, _ := strings.Cut(key, " ")
		switch general(key) {
		case "infant", "left[].cot":
			out.named(f, who+" "+strings.TrimSuffix(strings.TrimSuffix(path, "infant"), "cot"))
		case "policy":
			out[key] = f[key][:12]
		case "due[].why": // a site's hyphen is kept, another word's is not
			if what := f[strings.TrimSuffix(key, "why")+"what"]; what != "skin" &&
				f[strings.TrimSuffix(key, "why")+"state"] != "deferred" {
				out[key] = strings.ReplaceAll(f[key], "-", " ")
			}
		case "remarks[].entry":
			out[key] = f[key][:8]
		}
	}
	out.intact(f)
	out.first(f)
	return out
}

func (f facts) keys() []string { return slices.Sorted(maps.Keys(f)) }

// named puts family and given name together, as they are called; an infant without
// either goes by the unit's label.
func (out facts) named(f facts, of string) {
	name := strings.TrimPrefix(strings.TrimSuffix(f[of+"family"]+", "+f[of+"given"], ", "), ", ")
	delete(out, of+"family")
	delete(out, of+"given")
	if label := f[of+"temporary"]; name == "" && label != "" && f[of+"restricted"] == "" {
		name = label
		delete(out, of+"temporary")
	}
	if strings.Contains(of, "left[") {
		delete(out, of+"temporary")
		if f[of+"restricted"] != "" {
			name = "name not shown"
		} else if name == "" {
			name = "no name charted"
		}
	}
	if name != "" {
		out[of+"name"] = name
	}
}

// toldInWords says whether words tell this fact at all: most do always.
func (f facts) toldInWords(key string) bool {
	who, _, _ := strings.Cut(key, " ")
	item := key[:strings.LastIndexAny(key, ".")+1]
	switch path := general(key); path {
	case "known": // stands beside the moment where it is another
		return f[key] != f[unit+" at"]
	case "due[].overdueAt": // a civil day is overdue when it is over
		return f[item+"state"] == "overdue" || f[item+"state"] == "due" && f[item+"on"] == ""
	case "skin.overdueAt", "skin.dueSites", "rotation.overdueAt":
		return f[item+"state"] != "deferred" && f[item+"state"] != "off" || f[key] == notCharted
	case "bonnet.reason":
		return f[item+"state"] != "deferred"
	case "skin.unseen": // silence: all were seen; or none was, which stands there
		return f[key] != none && f[who+" skin.sites"] != none
	case "skin.sites[].change", "setup.notDone", "setup.notCharted": // silence: nothing to tell
		return f[key] != "same" && f[key] != none
	case "skin.worst", "skin.worstSite", "skin.worstAt":
		return f[who+" skin.worst"] != "intact"
	case "thresholds[].text", "thresholds[].source": // of a rule that is not met its name is enough
		return f[item+"met"] != "false"
	case "handedOver.accepted.asked", "handedOver.accepted.readBack": // silence: not charted
		return f[key] != notCharted
	case "notes", "tasks":
		return who != unit
	default:
		return !strings.HasSuffix(path, ".charted") || strings.Contains(path, "corrected") || f.late(key, item)
	}
}

// late says whether something was charted an hour or more after it happened.
func (f facts) late(key, item string) bool {
	for _, moment := range []string{"at", "modeSince", "stoppedAt", "since", "helpedAt"} {
		if at, err := time.Parse(time.RFC3339, f[item+moment]); err == nil {
			charted, err := time.Parse(time.RFC3339, f[key])
			return err == nil && charted.Sub(at) >= time.Hour
		}
	}
	return true
}

// intact leaves of the sites that need no more than counting the first and the last
// moment at which they were seen.
func (out facts) intact(f facts) {
	for _, key := range f.keys() {
		if general(key) != "skin.sites[].site" {
			continue
		}
		item := strings.TrimSuffix(key, "site")
		if f[item+"finding"] != "intact" || f[item+"also"] != none || f[item+"action"]+f[item+"note"] != "" {
			continue
		}
		for k := range out {
			if strings.HasPrefix(k, item) && k != item+"site" && k != item+"finding" && k != item+"also" {
				delete(out, k)
			}
		}
		who, _, _ := strings.Cut(key, " ")
		at, skin := toMinute(f[item+"at"]), who+" skin.intact"
		if first := out[skin+"From"]; first == "" || before(at, first) {
			out[skin+"From"] = at
		}
		if last := out[skin+"To"]; last == "" || before(last, at) {
			out[skin+"To"] = at
		}
	}
}

func before(a, b string) bool {
	x, errX := time.Parse(minute, a)
	y, errY := time.Parse(minute, b)
	return errX == nil && errY == nil && x.Before(y)
}
