package onetruth

import (
	"strings"
)

var wordsGrammar = []said{
	{label: "Cares", pattern: `(?:before the window: )?(<care>) (?:(\d+)×, last )?(?:(supine|prone|left|right) )?(?:(on|off|renewed) ` +
		`)?(<src>)(?:, secretions (none|little|moderate|much))?(?:, look (<quoted>))?(?:, (<quoted>))?`,
		tells: []string{"cares[$1|word].what=$1|word", "?2 cares[$1|word].window=$2", "!2 cares[$1|word].window=0",
			"?3 cares[$1|word].side=$3", "?4 cares[$1|word].state=$4", "cares[$1|word]/at=$5", "?6 cares[$1|word].amount=$6",
			"?7 cares[$1|word].look=$7|text", "?8 cares[$1|word].text=$8|text"}},
	{label: "Alarms", pattern: `((?:low|high) pressure|oxygen|temperature|gas supply|power|other) (<src>)(?:, tried: ([^;“]+?))?(?:, ` +
		`done: (<quoted>))?, (?:NOT SETTLED|settled (<time>))`,
		tells: []string{"alarms[[$1|word]].about=$1|word", "alarms[<$1|word]/at=$2", "?4 alarms[<$1|word].action=$4|text",
			"?5 alarms[<$1|word].settledAt=$5|time"},
		then: func(r *faceReader, who string, m []string) {
			item := who + " " + r.again(who, "alarms[<"+r.filter("word", m[1])+"]")
			if m[3] == "" {
				r.facts.put(item+".tried", none)
				return
			}
			for _, one := range strings.Split(m[3], ", then ") {
				found := strings.HasSuffix(one, " FOUND")
				cause := strings.TrimSuffix(strings.TrimSuffix(one, " FOUND"), " not found")
				r.facts.put(item+".tried["+cause+"].cause", cause)
				r.facts.put(item+".tried["+cause+"].found", map[bool]string{true: "true", false: "false"}[found])
			}
		}},
	{label: "Outlook", pattern: `NOT CHARTED`, tells: []string{"outlook=not charted"}},
	{label: "Outlook", pattern: `(?:(STABLE|WATCHER|UNSTABLE), )?charted by ([\w.-]+), (<src>)`,
		tells: []string{"?1 outlook.severity=$1|lower", "outlook.by=$2", "outlook/at=$3"}},
	{label: "Outlook", pattern: `IF (<quoted>) THEN (<quoted>)`, tells: []string{"outlook.ifThen[[$1|text]].if=$1|" +
		"text", "outlook.ifThen[<$1|text].then=$2|text"}},
	{label: "Outlook", pattern: `call for: (<quoted>)`, tells: []string{"outlook.callFor=$1|text"}},
	{label: "Notes", pattern: `(READ OUT: )?(<quoted>) \(([\w.-]+), (<src>)\)`,
		tells: []string{"notes[[$2|text]].text=$2|text", "?1 notes[<$2|text].readOut=true", "notes[<$2|text].by=$3",
			"notes[<$2|text]/at=$4"}},
	{label: "Tasks", pattern: `(<quoted>)(?:, due (<time>))?,? \(([\w.-]+)\)`,
		tells: []string{"tasks[[$1|text]].text=$1|text", "?2 tasks[<$1|text].dueAt=$2|time", "tasks[<$1|text].by=$3"}},
	{label: "Plans", pattern: `(?:(<thing>)|(<care>)) (not by the clock|every (\w+))(?:, until (<time>))?, (<quoted>) \(([\w.-]+), ` +
		`(<src>)\)`, then: func(r *faceReader, who string, m []string) {
		what, care := "care", r.filter("word", m[2])
		name := "care " + care
		if m[1] != "" {
			what, care = r.filter("due", m[1]), ""
			name = what
		}
		item := "plans[" + name + "]."
		every := m[4]
		if every == "" {
			every = "none"
		}
		for _, f := range [][2]string{{"what", what}, {"care", care}, {"every", every}, {"reason", r.filter("text", m[6])}, {"by", m[7]}} {
			if f[1] != "" {
				r.facts.put(who+" "+item+f[0], f[1])
			}
		}
		if m[5] != "" {
			r.facts.put(who+" "+item+"until", r.clock(m[5]))
		}
		r.source(who+" plans["+name+"]", "at", m[8])
	}},
	{label: "Handed over", pattern: `by ([\w.-]+) to ([\w.-]+) (<time>), as of (<time>)`,
		tells: []string{"handedOver.by=$1", "handedOver.to=$2", "handedOver.at=$3|time", "handedOver.asOf=$4|time"}},
	{label: "Handed over", pattern: `NOT ACCEPTED`, tells: []string{"handedOver.accepted=not charted"}},
	{label: "Handed over", pattern: `accepted by ([\w.-]+) ` +
		`(<time>)`, tells: []string{"handedOver.accepted.by=$1", "handedOver.accepted.at=$2|time"}},
	{label: "Handed over", pattern: `read back`, tells: []string{"handedOver.accepted.readBack=true"}},
	{label: "Handed over", pattern: `NOT read back`, tells: []string{"handedOver.accepted.readBack=false"}},
	{label: "Handed over", pattern: `asked: (<quoted>)`, tells: []string{"handedOver.accepted.asked=$1|text"}},
	{label: "Told", pattern: `(<quoted>): (<quoted>)(?:, answer (<quoted>))?, ([\w.-]+), (<src>)`,
		tells: []string{"told[[$2|text]].about=$2|text", "told[<$2|text].whom=$1|text", "?3 told[<$2|text].answer=$3|text",
			"told[<$2|text]/at=$5"}},
	{label: "Remarks", pattern: `([^(;]*[^(; ])(?: \(entry (\w+)\))?`,
		tells: []string{"remarks[[$1]].why=$1", "?2 remarks[<$1].entry=$2"}},
	{label: "Unit rules", pattern: `not met: ([^;]+)`, then: func(r *faceReader, who string, m []string) {
		for _, name := range strings.Split(m[1], ", ") {
			r.facts.put(who+" thresholds["+name+"].name", name)
			r.facts.put(who+" thresholds["+name+"].met", "false")
		}
	}},
	{label: "Unit rules", pattern: `([^:;]+): (MET|cannot be said, a value is missing or too old) \(([^)]+)\)`,
		tells: []string{"thresholds[$1].name=$1", "thresholds[$1].source=$3"}, then: func(r *faceReader, who string, m []string) {
			if m[2] == "MET" {
				r.facts.put(who+" thresholds["+m[1]+"].met", "true")
			}
		}},
	{label: "Not charted", pattern: `([^;]+)`, then: func(r *faceReader, who string, m []string) {
		paths, ok := gapPaths[m[1]]
		if field := dictionary["field"][m[1]]; field != "" {
			paths, ok = "settings."+field, true
		}
		if rest, tube := strings.CutSuffix(m[1], " tube size"); tube {
			paths, ok = "tubes."+rest+".sizeFr", true
		}
		if !ok {
			r.fault("%s: not charted, but what is %q", who, m[1])
		}
		if old := r.facts[who+" gaps"]; old != none {
			paths = old + ", " + paths
		}
		r.facts[who+" gaps"] = paths
	}},
	{label: "Not computed", pattern: `([^:;]+): ([^;]+)`, then: func(r *faceReader, who string, m []string) {
		path := gapPaths[m[1]]
		if use, ok := strings.CutSuffix(m[1], " tube length estimate"); ok {
			path = "tubes." + use + ".estimateCm"
		}
		if path == "" {
			r.fault("%s: not computed, but what is %q", who, m[1])
		}
		r.facts.put(who+" notComputed["+path+"].path", path)
	}},
	{label: "None charted", pattern: `(observations|cares|alarms|notes|tasks|plans)`, tells: []string{"$1=none"}},
	{label: "None charted", pattern: `outlook`}, // it is optional: does not apply
}

// gapPaths are what is not charted, as words say it.
var gapPaths = map[string]string{
	"FiO2 in the window": "fio2", "mean FiO2": "fio2.meanPercent", "SpO2 in the window": "spo2",
	"indices (no recent SpO2)": "indices", "S/F (set FiO2)": "indices.sf", "severity score (set CPAP and FiO2)": "indices.severity",
	"OSI (set CPAP and FiO2)": "indices.osi",
	"sex":                     "sex", "gestation at birth": "age.gestation",
	"indices": "indices", "state of the humidifier": "humidifier.state",
	"water in the bag":    "humidifier.water",
	"steps of the set-up": "setup.steps", "when the circuit is due": "setup.circuitDueOn", "SpO2": "observations.spo2Percent",
	"heart rate":       "observations.heartRateBpm",
	"respiratory rate": "observations.respRateBpm", "lower bound of the SpO2 target": "settings.spo2LowPercent",
	"upper bound of the SpO2 target": "settings.spo2HighPercent",
	"oxygen sensor in 21 %":          "setup.points.21", "oxygen sensor in 100 %": "setup.points.100", "Silverman-Andersen": "silverman",
	"weight": "weight", "birth weight": "birthWeight", "interface": "interface", "interface size": "interface.size",
	"when rotation is due": "rotation.dueAt", "when rotation is overdue": "rotation.overdueAt", "hours under the interface": "hoursUnder",
	"skin (no site seen)": "skin", "gastric tube": "tubes", "head": "head", "bonnet": "bonnet",
	"bonnet size": "bonnet.size", "whether the bonnet is in its range": "bonnet.fits",
	"chamber temperature": "humidifier.chamberC", "humidifier ready before use": "humidifier.readyBeforeUse",
	"when the water runs out": "humidifier.waterEmptyAt",
	"humidifier":              "humidifier", "set-up": "setup", "oxygen sensor check": "setup.calibrated", "seal check": "setup.sealHeld",
	"circuit fitted": "setup.circuit", "outlook": "outlook",
}

var unitGrammar = []said{
	{label: "Unit", pattern: `(.+)`, tells: []string{"unit=$1"}},
	{label: "Handover", pattern: `([A-Z][a-z]{2} \d+ [A-Z][a-z]{2} \d{4} \d\d:\d\d \([+-]\d\d:\d\d\))`, tells: []string{"at=$1|full"}},
	{label: "Handover", pattern: `as known ([A-Z][a-z]{2} \d+ [A-Z][a-z]{2} \d{4} \d\d:\d\d \([+-]\d\d:\d\d\))`,
		tells: []string{"known=$1|full"}},
	{label: "Handover", pattern: `\d+ infants?`},
	{label: "Window", pattern: `since (<time>)(?: for ([^;]+))?`, then: func(r *faceReader, _ string, m []string) {
		for heading, who := range r.called {
			cot, _, _ := strings.Cut(heading, ": ")
			for _, c := range strings.Split(m[2], ", ") {
				if m[2] == "" || c == cot {
					r.facts.put(who+" since", r.clock(m[1]))
				}
			}
		}
	}},
	{label: "From", pattern: `unit policy (\w+)`, tells: []string{"policy=$1"}},
	{label: "From", pattern: `record up to position (\d+)`, tells: []string{"position=$1"}},
	{label: "From", pattern: `late: \d+ entr(?:y|ies) that the handover before could not hold`},
	{label: "From", pattern: `chain (\w+)`, tells: []string{"chain=$1"}},
	{label: "Growth by", pattern: `\[(\d+)\] ([^;]+)`, then: func(r *faceReader, _ string, m []string) { r.standards[m[1]] = m[2] }},
	{label: "Left", pattern: `cot ([^,]+), (name not shown|no name charted|[^;]+?)(?:, number (\d+))?, to (home|ward|unit|hospital|` +
		`died)(?:, ([^;]+?))? (<src>)`,
		tells: []string{"left[[$1]].cot=$1", "left[<$1].name=$2", "?3 left[<$1].mrn=$3", "left[<$1].to=$4", "?5 left[<$1].place=$5",
			"left[<$1]/at=$6"}},
	{label: "Unit notes", pattern: `(READ OUT: )?(<quoted>) \(([\w.-]+), (<src>)\)`,
		tells: []string{"notes[[$2|text]].text=$2|text", "?1 notes[<$2|text].readOut=true", "notes[<$2|text].by=$3",
			"notes[<$2|text]/at=$4"}},
	{label: "Unit tasks", pattern: `(<quoted>)(?:, due (<time>))?,? \(([\w.-]+)\)`,
		tells: []string{"tasks[[$1|text]].text=$1|text", "?2 tasks[<$1|text].dueAt=$2|time", "tasks[<$1|text].by=$3"}},
}
