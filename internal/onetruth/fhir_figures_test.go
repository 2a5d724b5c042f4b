package onetruth

import "strings"

// figures reads what was computed for this handover: each by its code, alone.
func (x *receiver) figures() {
	for code, path := range map[string]string{
		"fio2-minimum": "fio2.minPercent", "fio2-maximum": "fio2.maxPercent", "fio2-mean": "fio2.meanPercent", "fio2-rises": "fio2.rises",
		"spo2-count": "spo2.count", "episodes-window": "episodes.window.count", "episodes-day": "episodes.day.count",
		"day-of-life": "age.dayOfLife",
		"weight-z":    "weight.z", "weight-centile": "weight.centile", "head-z": "head.z", "head-centile": "head.centile",
		"head-growth": "head.growthCmPerWeek",
	} {
		for _, r := range x.by[code] {
			x.put(path, r.said())
			if standard := told(r, "method", "text"); strings.HasSuffix(path, ".z") || strings.HasSuffix(path, ".centile") {
				x.put(path[:strings.Index(path, ".")]+".standard", standard)
			}
			for _, c := range items0(r["component"]) {
				part := told(c, "code", "coding", 0, "code")
				if to, ok := map[string]string{"spo2-below-target": "below", "spo2-in-target": "inTarget", "spo2-above-target": "above",
					"spo2-no-target": "noTarget"}[part]; ok {
					part = to
				}
				part = strings.TrimPrefix(strings.TrimPrefix(part, "sign-"), "recovered-")
				x.put(path[:strings.LastIndex(path, ".")+1]+part, resource(c.(map[string]any)).said())
			}
			if path == "head.growthCmPerWeek" {
				x.put("head.withinError", map[bool]string{true: "true",
					false: "false"}[told(r, "note", 0, "text") == "within measuring error"])
			}
			x.period(path, r)
		}
	}
	for _, r := range x.by["hours-under-interface"] {
		x.put("hoursUnder."+strings.TrimPrefix(told(r, "bodySite", "coding", 0, "code"), "site-"), r.said())
		x.period("hoursUnder", r)
	}
	for code, name := range map[string]string{"gastric-tube-moved": "moved", "gastric-tube-length-estimate": "estimateCm"} {
		for _, r := range x.by[code] {
			item := "tubes[" + strings.TrimPrefix(r.part("gastric-tube-use"), "tube-use-") + "]."
			x.put(item+name, r.said())
			if name == "estimateCm" {
				x.put(item+"estimateBy", told(r, "method", "text"))
			}
		}
	}
}

// period adds from when to when a figure is of; expectedInFHIR says which.
func (x *receiver) period(path string, r resource) {
	if start := told(r, "effectivePeriod", "start"); start != "" {
		x.facts.put(x.who+" period "+path, start+" to "+told(r, "effectivePeriod", "end"))
	}
}
