package onetruth

import (
	"regexp"
	"slices"
	"strings"
)

// firstGrammar is what is looked at first, what comes next, and what rests on a list.
var firstGrammar = []said{
	{label: "Next", pattern: `(?:(<thing>)|(<care>)|task (<quoted>))(?: \(([^)]*)\))? (?:(<time>)|(<day>))(?:, overdue from (<time>))?`,
		then: (*faceReader).next},
	{label: "Remarks", pattern: `asked about: ([^(;]*[^(; ])(?: \(entry (\w+)\))?`,
		tells: []string{"doubts[$1].text=$1", "?2 doubts[$1].entry=$2"}},
	{label: "Handed over", pattern: `(not )?confirmed: ((?:[A-Za-z0-9]+, )*[A-Za-z0-9]+)`,
		then: func(r *faceReader, who string, m []string) {
			r.facts.put(who+" handedOver.accepted."+map[bool]string{true: "confirmed", false: "notConfirmed"}[m[1] == ""],
				strings.ReplaceAll(m[2], "FiO2", "fio2"))
		}},
	{label: "Late", pattern: `(ARRIVED|WRITTEN) LATE: (.*?), of (<time>) \(([\w.-]+), charted (<time>), entry (\w+)\)(?:, infant \S+)?`,
		tells: []string{"late[$6].how=$1|lower", "late[$6].text=$2", "late[$6].at=$3|time", "late[$6].by=$4", "late[$6].charted=$5|time"}},
	{label: "Safety", pattern: `check ([\w.-]+), (<src>), ([^;]+ (?:ok|NOT OK))`, tells: []string{"safety/at=$2"},
		then: func(r *faceReader, who string, m []string) {
			for _, one := range strings.Split(m[3], ", ") {
				item, bad := strings.CutSuffix(one, " NOT OK")
				item = strings.TrimSuffix(item, " ok")
				r.facts.put(who+" safety.items["+item+"].item", item)
				r.facts.put(who+" safety.items["+item+"].ok", map[bool]string{true: "false", false: "true"}[bad])
			}
		}},
	{label: "Gas", pattern: `(arterial|capillary|venous) gas ([^;]+?), [\w.-]+, (<src>)`, tells: []string{"gas.sample=$1", "gas/at=$3"},
		then: func(r *faceReader, who string, m []string) {
			for _, one := range strings.Split(m[2], ", ") {
				v := gasValue.FindStringSubmatch(one)
				if v == nil {
					r.fault("%s: of a gas, what is %q", who, one)
					continue
				}
				field := gasFields[v[1]+v[3]]
				r.facts.put(who+" gas."+field+".value", strings.ReplaceAll(v[2], "−", "-"))
				r.source(who+" gas."+field, "at", m[3])
			}
		}},
	{label: "Limits", pattern: `(SpO2|heart rate|oxygen|pressure) alarm (low|high) (<num>) (?:%|/min|cmH2O) set (<src>)`,
		then: func(r *faceReader, who string, m []string) {
			field := strings.Replace(limitFields[m[1]], "*", map[string]string{"low": "Low", "high": "High"}[m[2]], 1)
			r.facts.put(who+" limits."+field+".value", m[3])
			r.source(who+" limits."+field, "at", m[4])
		}},
}

var (
	gasValue  = regexp.MustCompile(`^(pH|pCO2|base excess|bicarbonate|lactate) (−?\d+(?:\.\d+)?)(?: (kPa|mmHg|mmol/L))?$`)
	gasFields = map[string]string{"pH": "ph", "pCO2kPa": "pco2KPa", "pCO2mmHg": "pco2MmHg", "base excessmmol/L": "baseExcessMmolL",
		"bicarbonatemmol/L": "bicarbonateMmolL", "lactatemmol/L": "lactateMmolL"}
	limitFields = map[string]string{"SpO2": "spo2*Percent", "heart rate": "heartRate*Bpm", "oxygen": "oxygen*Percent",
		"pressure": "pressure*CmH2O"}
)

// next reads one thing that falls due later, and what its own place tells of it.
func (r *faceReader) next(who string, m []string) {
	what, care, text := "care", r.filter("word", m[2]), r.filter("text", m[3])
	name := "care " + care
	switch {
	case m[1] != "":
		what = r.filter("due", m[1])
		name = what
	case m[3] != "":
		what, name = "task", "task "+text
	}
	at, on, over := "", "", ""
	if m[5] != "" {
		at = r.clock(m[5])
	} else {
		on = r.day(m[6])
	}
	if m[7] != "" {
		over = r.clock(m[7])
	}
	tell := func(path, value string) {
		if value != "" {
			r.facts.put(who+" "+path, value)
		}
	}
	item := "next[" + strings.TrimPrefix(r.names.next(who+" next "+name), who+" next ") + "]."
	for _, f := range [][2]string{{"what", what}, {"care", care}, {"text", text}, {"dueAt", at}, {"on", on}, {"overdueAt", over}} {
		tell(item+f[0], f[1])
	}
	switch what {
	case "rotation", "skin":
		tell(what+".state", "not-due")
		tell(what+".dueAt", at)
		tell(what+".overdueAt", over)
		if what == "skin" {
			tell("skin.dueSites", r.filter("sites", m[4]))
		}
	case "bonnet":
		tell("bonnet.state", "not-due")
		tell("bonnet.reason", r.filter("word", m[4]))
		tell("bonnet.dueOn", on)
	case "circuit":
		tell("setup.circuitDueOn", on)
	}
}

// squeezed is what must be seen first, as it stands after its marks: lines may break
// anywhere, and ages are held to their moments apart.
func squeezed(s string) string {
	return strings.Join(strings.Fields(strings.NewReplacer("\u2068", "", "\u2069", "", "\u00a0", " ").
		Replace(aged.ReplaceAllString(s, "$1"))), "")
}

// noteOld keeps the moments that a line tells as old.
func (r *faceReader) noteOld(called string, l line) {
	for _, m := range aged.FindAllStringSubmatch(l.text, -1) {
		if l.label != "" && strings.HasSuffix(m[2], " old") {
			r.old[called] = append(r.old[called], [2]string{l.label, r.clock(m[1])})
		}
	}
}

// tellOld makes facts of them: by line the moments, each once.
func (r *faceReader) tellOld(who, called string) {
	by := map[string][]string{}
	for _, x := range r.old[called] {
		if !slices.Contains(by[x[0]], x[1]) {
			by[x[0]] = append(by[x[0]], x[1])
		}
	}
	for label, moments := range by {
		slices.Sort(moments)
		r.facts.put(who+" old."+label, strings.Join(moments, ", "))
	}
}
