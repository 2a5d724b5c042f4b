package onetruth

import (
	"regexp"
	"strings"
)

var (
	careDone  = regexp.MustCompile(`^(?:(supine|prone|left|right)(?: |$))?(?:(on|off|renewed)(?: |$))?(.*)$`)
	careCells = []cellOf{
		{path: `attention\.([\w-]+)(?:\.(.+))?`, then: func(b *tables, who string, m []string, r record) {
			item := b.again(who, "attention[["+strings.TrimSpace(m[1]+" "+m[2])+"]]")
			b.put(who, item+".what", m[1])
			b.put(who, item+".path", m[2])
			b.put(who, item+".text", r["Value"])
			b.put(who, item+".level", r["Unit or remark"])
			b.put(who, item+".at", b.moment(r["Happened"], r["Happened, offset from UTC"]))
			b.put(who, item+".entry", r["Entry"])
		}},
		{path: `next\..+`}, // sheet Due tells it
		{path: `old\.(.+)`, then: func(b *tables, who string, m []string, r record) {
			b.put(who, "old["+m[1]+"].path", m[1])
			b.put(who, "old["+m[1]+"].at", b.moment(r["Happened"], r["Happened, offset from UTC"]))
		}},
		{path: `doubts\.([\w-]+)(?:\.(.+))?`, then: func(b *tables, who string, m []string, r record) {
			item := b.again(who, "doubts[["+m[1]+"]]")
			b.put(who, item+".code", m[1])
			b.put(who, item+".path", m[2])
			b.put(who, item+".text", r["Value"])
			b.put(who, item+".entry", r["Entry"])
		}},
		{path: `handedOver\..+`, fact: "$0"},
		{path: `late\.(\w+)`, then: func(b *tables, who string, m []string, r record) {
			item := "late[" + r["Entry"] + "]"
			kind, _, _ := strings.Cut(r["Unit or remark"], ": ")
			b.put(unit, item+".infant", who)
			b.put(unit, item+".how", m[1])
			b.put(unit, item+".kind", kind)
			b.put(unit, item+".text", r["Value"])
			b.put(unit, item+".entry", r["Entry"])
			b.put(unit, item+".by", r["By"])
			b.put(unit, item+".at", b.moment(r["Happened"], r["Happened, offset from UTC"]))
			b.put(unit, item+".charted", b.moment(r["Charted"], r["Charted, offset from UTC"]))
		}},
		{path: `told`, then: func(b *tables, who string, _ []string, r record) {
			item := b.again(who, "told[["+r["Value"]+"]]")
			b.put(who, item+".about", r["Value"])
			b.put(who, item+".whom", strings.TrimPrefix(r["Unit or remark"], "said to "))
			b.source(who, item, "at", r)
			b.tube = item
		}},
		{path: `told\.answer`, then: func(b *tables, who string, _ []string, r record) {
			b.put(who, b.tube+".answer", r["Value"]) // of what the row above says
		}},
		{path: `safety\.(.+)`, source: "safety/at", then: func(b *tables, who string, m []string, r record) {
			b.put(who, "safety.items["+m[1]+"].item", m[1])
			b.put(who, "safety.items["+m[1]+"].ok", yesNo[r["Value"]])
		}},
		{path: `(limits|gas)\.(\w+(?:Percent|Bpm|CmH2O|KPa|MmHg|MmolL)|ph)`, fact: "$1.$2.value", source: "$1.$2/at"},
		{path: `cares\.([\w-]+)\.(amount|look)`, fact: "cares[$1].$2"},
		{path: `gas\.sample`, fact: "$0", source: "gas/at"},
		{path: `support\.why`, fact: "$0"},
		{path: `interface\.(fit|clear)`, fact: "interface.$1.value", source: "interface.$1/at"},
		{path: `tubes\.(\w+)\.(aspirateMl|aspirateLook)`, fact: "tubes[$1].$2.value", source: "tubes[$1].$2/at"},
		{path: `setup\.notCharted`, fact: "$0"},
		{path: `notComputed\.(.+)`, then: func(b *tables, who string, m []string, r record) {
			b.put(who, "notComputed["+m[1]+"].path", m[1])
			b.put(who, "notComputed["+m[1]+"].why", r["Value"])
		}},
		{path: `cares\.([\w-]+)`, source: "cares[$1]/at", then: func(b *tables, who string, m []string, r record) {
			item := "cares[" + m[1] + "]."
			b.put(who, item+"what", m[1])
			b.put(who, item+"window", strings.TrimSuffix(r["Unit or remark"], " in the window"))
			done := careDone.FindStringSubmatch(strings.TrimPrefix(r["Value"], "done"))
			for i, part := range []string{"side", "state", "text"} {
				if done[i+1] != "" {
					b.put(who, item+part, done[i+1])
				}
			}
		}},
		{path: `alarms\.([\w-]+)`, source: "alarms[[$1]]/at", then: func(b *tables, who string, m []string, r record) {
			item := b.again(who, "alarms[<"+m[1]+"]")
			b.put(who, item+".about", m[1])
			tried := false
			for _, part := range strings.Split(r["Value"], "; ") {
				cause, missed := strings.CutSuffix(part, ": not found")
				found := false
				if !missed {
					cause, found = strings.CutSuffix(part, ": found")
				}
				switch {
				case found || missed:
					b.put(who, item+".tried["+cause+"].cause", cause)
					b.put(who, item+".tried["+cause+"].found", map[bool]string{true: "true", false: "false"}[found])
					tried = true
				case part != "no more was charted":
					b.put(who, item+".action", part)
				}
			}
			if !tried {
				b.put(who, item+".tried", none)
			}
		}},
		{path: `alarms\.([\w-]+)\.settledAt`, then: func(b *tables, who string, m []string, r record) {
			b.put(who, b.again(who, "alarms[<"+m[1]+"]")+".settledAt", b.moment(r["Value"], r["Unit or remark"]))
		}},
		{path: `outlook\.(?:severity|callFor)`, fact: "$0", source: "outlook/at"},
		{path: `outlook\.ifThen`, source: "outlook/at", then: func(b *tables, who string, _ []string, r record) {
			does, then, _ := strings.Cut(strings.TrimPrefix(r["Value"], "If "), ", then ")
			b.put(who, "outlook.ifThen["+does+"].if", does)
			b.put(who, "outlook.ifThen["+does+"].then", then)
		}},
		{path: `notes`, then: func(b *tables, who string, _ []string, r record) {
			item := b.again(who, "notes[["+r["Value"]+"]]")
			b.put(who, item+".text", r["Value"])
			if r["Unit or remark"] == "read out" {
				b.put(who, item+".readOut", "true")
			}
			b.source(who, item, "at", r)
		}},
		{path: `tasks`, then: func(b *tables, who string, _ []string, r record) {
			item := b.again(who, "tasks[["+r["Value"]+"]]")
			b.put(who, item+".text", r["Value"])
			b.put(who, item+".task", r["Entry"])
			b.source(who, item, "at", r)
			b.tube = item
		}},
		{path: `tasks\.dueAt`, then: func(b *tables, who string, _ []string, r record) {
			b.put(who, b.tube+".dueAt", b.moment(r["Value"], r["Unit or remark"])) // of the task in the row above
		}},
		{path: `plans\.([\w-]+)(?:\.([\w-]+))?`, then: func(b *tables, who string, m []string, r record) {
			if m[2] == "until" || strings.HasSuffix(r["Path"], ".until") {
				b.put(who, plan(strings.TrimSuffix(r["Path"], ".until"))+".until", b.moment(r["Value"], r["Unit or remark"]))
				return
			}
			item := plan(r["Path"])
			b.put(who, item+".what", m[1])
			if m[2] != "" {
				b.put(who, item+".care", m[2])
			}
			b.put(who, item+".every", r["Value"])
			b.put(who, item+".reason", r["Unit or remark"])
			b.source(who, item, "at", r)
		}},
		{path: `plans\.care\.[\w-]+\.until`, then: func(b *tables, who string, _ []string, r record) {
			b.put(who, plan(strings.TrimSuffix(r["Path"], ".until"))+".until", b.moment(r["Value"], r["Unit or remark"]))
		}},
		{path: `remarks`, then: func(b *tables, who string, _ []string, r record) {
			item := b.again(who, "remarks[["+r["Value"]+"]]")
			b.put(who, item+".why", r["Value"])
			b.put(who, item+".entry", r["Entry"])
		}},
		{path: `thresholds\.(.+)`, then: func(b *tables, who string, m []string, r record) {
			item := "thresholds[" + m[1] + "]."
			text, source, _ := strings.Cut(strings.TrimSuffix(r["Unit or remark"], ")"), " (")
			b.put(who, item+"name", m[1])
			b.put(who, item+"text", text)
			b.put(who, item+"source", source)
			if met, ok := yesNo[r["Value"]]; ok {
				b.put(who, item+"met", met)
			}
		}},
		{path: `gaps`, then: func(b *tables, who string, _ []string, r record) {
			if r["Value"] == none {
				b.put(who, "gaps", none)
				return
			}
			var paths []string
			for _, words := range strings.Split(r["Value"], "; ") {
				path, ok := pathOfWords[words]
				if !ok {
					b.fault("%s: not charted, but what is %q", who, words)
				}
				paths = append(paths, path)
			}
			b.put(who, "gaps", strings.Join(paths, ", "))
		}},
		{path: `left`, then: func(b *tables, _ string, _ []string, r record) {
			item := b.again(unit, "left[["+r["Cot"]+"]]")
			b.put(unit, item+".cot", r["Cot"])
			b.put(unit, item+".infant", r["Infant's key"])
			b.put(unit, item+".number", r["Hospital number, or label"])
			b.put(unit, item+".name", r["Name"])
			b.put(unit, item+".to", r["Value"])
			if r["Unit or remark"] != none {
				b.put(unit, item+".place", r["Unit or remark"])
			}
			b.source(unit, item, "at", r)
		}},
	}
)

// plan is a plan by what it is of.
func plan(path string) string {
	return "plans[" + strings.ReplaceAll(strings.TrimPrefix(path, "plans."), "care.", "care ") + "]"
}

// pathOfWords are paths as the workbook says them: settings by their labels, all
// else by their steps.
var pathOfWords = func() map[string]string {
	out := map[string]string{"Set pressure": "settings.pressureCmH2O", "Set FiO2": "settings.fio2Percent", "Set flow": "settings.flowLMin",
		"SpO2 target, low": "settings.spo2LowPercent", "SpO2 target, high": "settings.spo2HighPercent",
		"SpO2": "observations.spo2Percent", "Heart rate": "observations.heartRateBpm", "Respiratory rate": "observations.respRateBpm"}
	capital := regexp.MustCompile(`[A-Z]`)
	for _, paths := range gapPaths {
		for _, path := range append(strings.Split(paths, ", "), "tubes.feeding.sizeFr", "tubes.venting.sizeFr") {
			words := strings.ReplaceAll(path, ".", " ")
			out[capital.ReplaceAllStringFunc(words, func(s string) string { return " " + strings.ToLower(s) })] = path
		}
	}
	return out
}()
