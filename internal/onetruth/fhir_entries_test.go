package onetruth

import (
	"strings"
	"time"
)

// yielded is what an entry's Observation tells: the base of the facts in
// handover.json, the code, the name of its moment there ("-": it has none), and
// facts as "path=element": value, site, note, or the code of a component; after |,
// what a code of our own begins with.
type yielded struct {
	base, code, moment string
	tells              string
}

var yields = []yielded{
	{"settings.pressureCmH2O", "cpap-pressure-set", "at", "value=value"},
	{"settings.upperPressureCmH2O", "upper-pressure-set", "at", "value=value"},
	{"settings.rateMin", "rate-set", "at", "value=value"},
	{"settings.inspiratoryS", "inspiratory-time-set", "at", "value=value"},
	{"settings.fio2Percent", "fio2-set", "at", "value=value"},
	{"settings.flowLMin", "flow-set", "at", "value=value"},
	{"settings.spo2LowPercent", "spo2-target-low", "at", "value=value"},
	{"settings.spo2HighPercent", "spo2-target-high", "at", "value=value"},
	{"observations.spo2Percent", "2708-6", "at", "value=value"},
	{"observations.spo2Site", "2708-6", "at", "value=site|spo2-site-"},
	{"observations.heartRateBpm", "8867-4", "at", "value=value"},
	{"observations.respRateBpm", "9279-1", "at", "value=value"},
	{"observations.axillaryC", "8310-5", "at", "value=value"},
	{"observations.pressureCmH2O", "pressure-read", "at", "value=value"},
	{"observations.fio2Percent", "fio2-read", "at", "value=value"},
	{"observations.airwayC", "airway-temperature", "at", "value=value"},
	{"observations.incubatorC", "incubator-temperature", "at", "value=value"},
	{"observations.abdomenCm", "abdominal-girth", "at", "value=value"},
	{"observations.bubbling", "bubbling", "at", "value=value"},
	{"gas", "blood-gas", "at", "sample=value|gas-sample-"},
	{"gas.ph", "gas-ph", "at", "value=value"},
	{"gas.pco2KPa", "gas-pco2", "at", "value=value"},
	{"gas.pco2MmHg", "gas-pco2", "at", "value=value"},
	{"gas.baseExcessMmolL", "gas-base-excess", "at", "value=value"},
	{"gas.bicarbonateMmolL", "gas-bicarbonate", "at", "value=value"},
	{"gas.lactateMmolL", "gas-lactate", "at", "value=value"},
	{"limits.spo2LowPercent", "alarm-limit-spo2-low", "at", "value=value"},
	{"limits.spo2HighPercent", "alarm-limit-spo2-high", "at", "value=value"},
	{"limits.heartRateLowBpm", "alarm-limit-heart-rate-low", "at", "value=value"},
	{"limits.heartRateHighBpm", "alarm-limit-heart-rate-high", "at", "value=value"},
	{"limits.oxygenLowPercent", "alarm-limit-oxygen-low", "at", "value=value"},
	{"limits.oxygenHighPercent", "alarm-limit-oxygen-high", "at", "value=value"},
	{"limits.pressureLowCmH2O", "alarm-limit-pressure-low", "at", "value=value"},
	{"limits.pressureHighCmH2O", "alarm-limit-pressure-high", "at", "value=value"},
	{"safety", "safety-check", "at", ""},
	{"told[]", "told", "at", "about=value whom=told-whom answer=told-answer"},
	{"interface.fit", "interface", "at", "value=interface-fit|fit-"},
	{"interface.clear", "interface", "at", "value=interface-septum-clear"},
	{"tubes[].aspirateMl", "gastric-aspirate-volume", "at", "value=value"},
	{"tubes[].aspirateLook", "gastric-aspirate-look", "at", "value=value"},
	{"tubes[].xray", "gastric-tube", "at", ""},
	{"setup.seal", "circuit-leak-check", "at", ""},
	{"humidifier.waterFrom", "humidifier-water", "at", ""},
	{"indices", "2708-6", "at", "spo2Percent=value"},
	{"indices", "spo2-fio2-ratio", "", "sf=value"},
	{"indices", "severity-score", "", "severity=value"},
	{"indices", "oxygen-saturation-index", "", "osi=value"},
	{"silverman", "silverman-andersen-total", "at", "total=value items.chest=silverman-chest items.intercostal=silverman-intercostal " +
		"items.xiphoid=silverman-xiphoid items.nares=silverman-nares items.grunt=silverman-grunt"},
	{"episodes", "episode", "helpedAt", ""},
	{"support", "support", "-", "mode=support-mode|mode- reason=support-stop-reason|stop-reason-"},
	{"interface", "interface", "since", "type=value|interface- size=size"},
	{"rotation.last", "interface-rotation", "at", ""},
	{"skin.sites[]", "skin-site-check", "at", "site=site|site- finding=value|finding- underBarrier=skin-under-barrier " +
		"action=skin-action note=note"},
	{"tubes[]", "gastric-tube-insertion-length", "at", "markCm=value"},
	{"tubes[].ph", "gastric-aspirate-ph", "at", "value=value"},
	{"tubes[].aspirateFrom", "gastric-aspirate", "at", ""},
	{"weight", "29463-7", "at", "weightG=value"},
	{"birthWeight", "birth-weight", "birth", "weightG=value"},
	{"head", "9843-4", "at", "circumferenceCm=value"},
	{"head", "head-circumference-unreliable", "", "unreliable=value|unreliable-"},
	{"head.growthFrom", "9843-4", "at", "circumferenceCm=value"},
	{"bonnet", "bonnet", "", "size=size"},
	{"humidifier", "humidifier-chamber-temperature", "", "chamberC=value"},
	{"setup.points[]", "o2-sensor-reading", "at", "gasPercent=o2-sensor-gas readPercent=value"},
	{"cares[]", "care", "at", "what=care|care- amount=care-amount|amount- look=care-look side=care-side|side- state=care-state|" +
		"care-state- text=note"},
	{"alarms[]", "alarm-event", "at", "about=value|alarm- action=alarm-action"},
	{"outlook", "outlook", "at", "severity=value|outlook- callFor=outlook-call-for"},
	{"notes[]", "note", "at", "text=value readOut=note-read-out"},
}

// entries reads what entries yielded, each found by the identifier that the entry
// gives it: all facts of handover.json name theirs.
func (x *receiver) entries() {
	all := x.asked
	for _, key := range all.keys() {
		path, ok := strings.CutPrefix(key, x.who+" ")
		if !ok || !strings.HasSuffix(path, ".entry") {
			continue
		}
		base, entry := strings.TrimSuffix(path, ".entry"), all[key]
		for _, y := range yields {
			if y.base != strings.TrimSuffix(general(key), ".entry") {
				continue
			}
			r := x.of(y.code, entry, x.among(base))
			if r == nil {
				continue
			}
			if y.moment != "" {
				x.source(base, y.moment, r)
			}
			for _, tell := range strings.Fields(y.tells) {
				name, element, _ := strings.Cut(tell, "=")
				element, family, _ := strings.Cut(element, "|")
				x.put(base+"."+name, strings.TrimPrefix(x.element(r, element), family))
			}
			x.more(base, y, r)
		}
		x.readAt("Observation")
		x.task(base, entry)
		x.readAt("Task")
	}
	for _, r := range x.by["humidifier-water"] { // in order: the latest stays
		if all[x.who+" humidifier.water"] != "" {
			x.facts[x.who+" humidifier.water"] = strings.TrimPrefix(r.said(), "water-")
		}
	}
	x.readAt("Observation")
}

func (x *receiver) element(r resource, name string) string {
	switch name {
	case "value":
		return r.said()
	case "care":
		return careOf(r.said(), told(r, "valueCodeableConcept", "text"))
	case "site":
		return told(r, "bodySite", "coding", 0, "code")
	case "note":
		for _, n := range items0(r["note"]) {
			if told(n, "authorReference") == "" { // with an author it is a correction's
				return told(n, "text")
			}
		}
		return ""
	}
	return r.part(name)
}

// careOf is the code of a care; one of the unit's own list has its name in the text.
func careOf(code, text string) string {
	if code != "care-of-unit" {
		return code
	}
	if _, name, with := strings.Cut(text, ": "); with {
		text = name
	}
	return "care-" + strings.ReplaceAll(text, " ", "-")
}

// among tells the Observations of one entry apart: by site, by gas.
func (x *receiver) among(base string) func(resource) bool {
	_, name, _ := strings.Cut(strings.TrimSuffix(base, "]"), "[")
	switch {
	case strings.HasPrefix(base, "skin.sites["):
		return func(r resource) bool { return told(r, "bodySite", "coding", 0, "code") == "site-"+name }
	case strings.HasPrefix(base, "setup.points["):
		return func(r resource) bool { return r.part("o2-sensor-gas") == name }
	}
	return nil
}

// more reads what a table of elements cannot say.
func (x *receiver) more(base string, y yielded, r resource) {
	switch y.base {
	case "birthWeight": // charted with the admission, which is not when it happened
		if x.asked[x.who+" birthWeight.charted"] != "" {
			x.put("birthWeight.charted", told(r, "issued"))
		}
	case "support":
		state := r.said()
		if state == "support-stopped" {
			x.put("support.state", "off")
			x.put("support.stoppedAt", r.when())
			delete(x.facts, x.who+" support.mode")
			return
		}
		x.put("support.state", "on")
		x.put("support.modeSince", r.when())
		for _, s := range x.by["support"] { // the latest tag that was charted
			if tag := s.part("driver-tag"); tag != "" {
				x.facts[x.who+" support.driver"] = tag
			}
			if why := s.part("support-why"); why != "" && !moment(s.when()).Before(moment(x.asked[x.who+" support.since"])) {
				x.facts[x.who+" support.why"] = why
			}
		}
	case "rotation.last":
		from, to, _ := strings.Cut(told(r, "valueCodeableConcept", "text"), " to ")
		x.put("rotation.last.from", from)
		x.put("rotation.last.to", to)
	case "skin.sites[]":
		var also []string
		for _, c := range items0(r["component"]) {
			if told(c, "code", "coding", 0, "code") == "skin-also" {
				also = append(also, strings.TrimPrefix(resource(c.(map[string]any)).said(), "also-"))
			}
		}
		x.put(base+".also", strings.Join(also, ", "))
		if len(also) == 0 {
			x.put(base+".also", none)
		}
	case "tubes[]":
		x.tubeOf(base, r)
	case "tubes[].aspirateFrom":
		x.put(strings.TrimSuffix(base, "From"), strings.TrimPrefix(r.said(), "aspirate-"))
	case "bonnet":
		key := "since"
		if action := r.said(); action == "bonnet-removed" || action == "bonnet-none" {
			key = "at"
			delete(x.facts, x.who+" bonnet.size")
		}
		x.source(base, key, r)
	case "humidifier":
		x.source(base, "at", r)
	case "alarms[]":
		x.put(base+".settledAt", told(r, "effectivePeriod", "end"))
		x.pairs(base+".tried", r, "alarm-cause", "cause", "found")
	case "safety":
		x.pairs(base+".items", r, "safety-item", "item", "ok")
	case "outlook":
		x.pairs(base+".ifThen", r, "outlook-if-then", "if", "then")
	}
}

// pairs are components whose text says one half.
func (x *receiver) pairs(list string, r resource, code, first, then string) {
	n := 0
	for _, c := range items0(r["component"]) {
		if told(c, "code", "coding", 0, "code") == code {
			n++
			text := strings.TrimPrefix(told(c, "code", "text"), "If ")
			x.put(list+"["+text+"]."+first, text)
			x.put(list+"["+text+"]."+then, resource(c.(map[string]any)).said())
		}
	}
	if n == 0 && code == "alarm-cause" {
		x.put(list, none)
	}
}

// tubeOf reads the tube that a mark is of, and what else was seen of it.
func (x *receiver) tubeOf(base string, mark resource) {
	tube := told(mark, "focus", 0, "reference")
	for _, p := range items0(x.all[tube]["property"]) {
		switch told(p, "type", "coding", 0, "code") {
		case "french-size":
			x.put(base+".sizeFr", told(p, "valueQuantity", 0, "value"))
		case "gastric-tube-route":
			x.put(base+".route", strings.TrimPrefix(told(p, "valueCode", 0, "coding", 0, "code"), "tube-route-"))
		case "gastric-tube-use":
			x.put(base+".use", strings.TrimPrefix(told(p, "valueCode", 0, "coding", 0, "code"), "tube-use-"))
		}
	}
	last := ""
	for _, r := range x.by["gastric-tube"] {
		if told(r, "focus", 0, "reference") != tube {
			continue
		}
		last = r.when()
		if action := r.said(); action == "tube-placed" || action == "tube-repositioned" || action == "tube-found" &&
			x.facts[x.who+" "+base+".referenceAt"] == "" {
			x.facts[x.who+" "+base+".referenceAt"] = x.stamp(r.when())
			id, _ := r.entry()
			if m := x.of("gastric-tube-insertion-length", id, nil); m != nil {
				x.facts[x.who+" "+base+".referenceMarkCm"] = m.said()
			}
		}
	}
	x.put(base+".checkedAt", last)
}

// contradicted says where an Observation tells what nobody charted: a setting of this
// spell, or anything of what was never seen.
func (x *receiver) contradicted() (out []string) {
	since := moment(x.asked[x.who+" support.since"]).Add(-30 * time.Minute) // what is set just before belongs to the spell
	for _, y := range yields {
		if x.asked[x.who+" "+y.base] != notCharted || y.moment == "" || y.base == "indices" || y.base == "silverman" {
			continue
		}
		for _, r := range x.by[y.code] {
			if !strings.HasPrefix(y.base, "settings.") || !moment(r.when()).Before(since) {
				out = append(out, x.who+" "+y.base+" is not charted, and yet "+y.code+" of "+r.when()+" is sent")
			}
		}
	}
	return out
}
