package onetruth

import (
	"strings"
	"time"
)

// expectedInFHIR are the facts of one infant as a document tells them, or, of those
// alone that go as data of entries, a transaction.
func (f facts) expectedInFHIR(x *receiver, document bool) facts {
	who, at, zone := x.who, x.faceReader.at, x.zone
	out := facts{}
	for key, value := range f {
		item, _, _ := strings.Cut(key, "].")
		late := document && strings.HasPrefix(key, unit+" late[") && f[item+"].infant"] == who
		if !strings.HasPrefix(key, who+" ") && !late {
			continue
		}
		all := claims(general(key))
		if len(all) != 1 {
			continue // unclaimed says so
		}
		place := all[0].fhir
		entry := place == "Observation" || place == "Patient"
		if !strings.HasPrefix(place, "–") && (document || entry) && f.toldInFHIR(key, document) {
			if out[key] = value; strings.HasPrefix(place, "section-") {
				out[key] = toMinute(value) // sections tell clock times
			}
		}
	}
	for _, base := range []string{"head.", "head.growthFrom.", "weight."} { // what an earlier stay told was sent with it
		if was := f[who+" "+base+"at"]; was != "" && moment(was).Before(moment(x.admitted())) && x.facts[who+" "+base+"entry"] == "" {
			for _, part := range []string{"entry", "by", "at", "charted", "corrected.by", "corrected.charted", "weightG",
				"circumferenceCm", "unreliable"} {
				if x.facts[who+" "+base+part] == "" {
					delete(out, who+" "+base+part)
				}
			}
		}
	}
	for base := range x.later {
		delete(out, who+" "+base+".charted")
	}
	if restricted := who + " restricted"; f[restricted] != "" {
		delete(out, restricted) // no name says it
	}
	if sex := f[who+" sex"]; sex == "" {
		delete(out, who+" sex")
	}
	if !document {
		return out
	}
	out[who+" at"] = at.In(zone).Format(stampForm)
	period := func(path, from string) {
		to := " to " + out[who+" at"]
		for key := range out {
			if key == who+" "+path || strings.HasPrefix(key, who+" "+path+".") {
				out[who+" period "+path] = from + to
				return
			}
		}
	}
	for _, path := range []string{"fio2.minPercent", "fio2.maxPercent", "fio2.meanPercent", "fio2.rises", "spo2.count",
		"episodes.window.count"} {
		period(path, f[who+" since"])
	}
	dayBefore := at.Add(-24 * time.Hour).In(zone).Format(stampForm)
	period("episodes.day.count", dayBefore)
	period("hoursUnder", dayBefore)
	return out
}

// toldInFHIR says whether a fact is sent at all. What nobody charted sends nothing:
// its path stands among the gaps of section-mind, which are held.
func (f facts) toldInFHIR(key string, document bool) bool {
	who, _, _ := strings.Cut(key, " ")
	item := key[:strings.LastIndexAny(key, ".")+1]
	switch path := general(key); path {
	case "thresholds[].text", "thresholds[].source", "thresholds[].name", "thresholds[].met":
		return f[item+"met"] == "true"
	case "skin.unseen": // silence: all were seen; or none was, which stands there
		return f[key] != none && f[key] != notCharted && f[who+" skin.sites"] != none
	case "due[].at", "due[].on":
		return f[item+"state"] == "due"
	case "next[].dueAt", "next[].overdueAt": // of what comes when it is to be done; of water when it runs out
		return (path == "next[].overdueAt") == (f[item+"what"] == "water" && f[item+"overdueAt"] != "")
	case "settings.*", "changes[].from", "changes[].to":
		return true
	case "handedOver.accepted":
		return true
	case "due", "changes", "setup.notDone", "skin.sites", "handedOver.accepted.notConfirmed",
		"handedOver.accepted.confirmed":
		if f[key] == notCharted {
			return false
		}
		return f[key] != none
	case "tubes":
		return false
	case "support.state":
		return document || f[key] != "never" // nothing charted sends nothing
	case "setup.probeCaution":
		return f[key] == "true"
	case "bonnet.size", "bonnet.since":
		return f[who+" bonnet.entry"] != ""
	}
	return f[key] != notCharted || strings.HasPrefix(general(key), "settings.") && document
}
