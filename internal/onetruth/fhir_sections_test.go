package onetruth

import (
	"strings"
	"testing"

	"golang.org/x/net/html"
)

// stamped is "…, 2026-10-25T07:30:00+01:00, by: rn-reed, corrected".
const stamped = `, (\S+), by: ([\w.-]+)(?:, corrected)?`

// one makes a line of a document's section: a fact with its moment and who charted it.
func one(section, pattern, base, moment string, tells ...string) said {
	n := strings.Count(pattern, "(") - strings.Count(pattern, "(?:")
	all := append(tells, base+"."+moment+"=$"+string(rune('1'+n)), base+".by=$"+string(rune('2'+n)))
	if moment == "-" {
		all = append(tells, base+".by=$"+string(rune('2'+n)))
	}
	return said{label: section, pattern: pattern + stamped, tells: all}
}

// sectionGrammar is all that a section of a document may say. Each paragraph is one line.
var sectionGrammar = []said{
	{label: "*", pattern: `Nothing to tell\.`},
	{label: "section-changes", pattern: `handed over as of (\S+), (\S+), by: ([\w.-]+), to: ([\w.-]+)`,
		tells: []string{"handedOver.asOf=$1", "handedOver.at=$2", "handedOver.by=$3", "handedOver.to=$4"}},
	{label: "section-changes", pattern: `not taken over`, tells: []string{"handedOver.accepted=not charted"}},
	{label: "section-changes", pattern: `taken over (\S+), by: ([\w.-]+)`,
		tells: []string{"handedOver.accepted.at=$1", "handedOver.accepted.by=$2"}},
	{label: "section-changes", pattern: `confirmed: ([a-z0-9]+(?:, [a-z0-9]+)*)`, tells: []string{"handedOver.accepted.confirmed=$1"}},
	{label: "section-changes", pattern: `not confirmed: ([a-z0-9]+(?:, [a-z0-9]+)*)`,
		tells: []string{"handedOver.accepted.notConfirmed=$1"}},
	{label: "section-changes", pattern: `read back: (yes|no)`, tells: []string{"handedOver.accepted.readBack=$1|yes"}},
	{label: "section-changes", pattern: `asked: (.+)`, tells: []string{"handedOver.accepted.asked=$1"}},
	{label: "section-changes", pattern: `since: (\S+)`, tells: []string{"since=$1"}},
	{label: "section-changes", pattern: `new on the ward in this window`, tells: []string{"new=true"}},
	{label: "section-changes", pattern: `(rotation\.last|[\w.-]+): (none|\w+ to \w+|.+?) to (.+), (happened|late|corrected)`,
		tells: []string{"changes[$1].path=$1", "changes[$1].from=$2|none", "changes[$1].to=$3|none", "changes[$1].why=$4"}},
	{label: "section-due", pattern: `([a-z-]+): (overdue|due|deferred)(?:, (.+?))?, (?:(\d{4}-\d\d-\d\dT\S+?)|(\d{4}-\d\d-\d\d))(?:, ` +
		`until: (\S+?))?(?:, (.+))?`, then: func(r *faceReader, who string, m []string) {
		name, which := m[1], map[string]string{"care": "care", "task": "text"}[m[1]]
		if m[3] != "" {
			name += " " + m[3]
		}
		item := who + " " + r.again(who, "due[["+name+"]]") + "."
		for _, f := range [][2]string{{"what", m[1]}, {"state", m[2]}, {which, m[3]}, {"at", m[4]}, {"on", m[5]}, {"until", m[6]},
			{"why", m[7]}} {
			if f[1] != "" {
				r.facts.put(item+f[0], f[1])
			}
		}
	}},
	{label: "section-due", pattern: `next: ([a-z-]+)(?:, (.+?))?, (?:(\d{4}-\d\d-\d\dT\S+?)|(\d{4}-\d\d-\d\d))(?:, overdue: (\S+))?`,
		then: func(r *faceReader, who string, m []string) {
			name, which := m[1], map[string]string{"care": "care", "task": "text"}[m[1]]
			if m[2] != "" {
				name += " " + m[2]
			}
			item := who + " " + r.again(who, "next[["+name+"]]") + "."
			for _, f := range [][2]string{{"what", m[1]}, {which, m[2]}, {"dueAt", m[3]}, {"on", m[4]}, {"overdueAt", m[5]}} {
				if f[1] != "" {
					r.facts.put(item+f[0], f[1])
				}
			}
		}},
	{label: "section-due", pattern: `plan: .+, every: \w+.*`}, // held by its Task
	{label: "section-due", pattern: `task: .+, by: [\w.-]+`},
	one("section-support", `Support: on, (\S+?)`, "support", "modeSince", "support.mode=$1"),
	one("section-support", `Support: off(?:, ([a-z-]+))?`, "support", "stoppedAt", "?1 support.reason=$1"),
	{label: "section-support", pattern: `Support: never`, tells: []string{"support.state=never"}},
	{label: "section-support", pattern: `driver: (.+)`, tells: []string{"support.driver=$1"}},
	{label: "section-support", pattern: `why on support: (.+)`, tells: []string{"support.why=$1"}},
	{label: "section-support", pattern: `((?:SpO2|Heart rate|Oxygen|Pressure) alarm, (?:low|high)): (<num>) \S+, (\S+), by: ` +
		`([\w.-]+)(?:, corrected)?`,
		tells: []string{"limits.$1|limit.value=$2", "limits.$1|limit.at=$3", "limits.$1|limit.by=$4"}},
	{label: "section-support", pattern: `(Set [\w ]+|SpO2 target, \w+): not charted`, tells: []string{"settings.$1|set=not charted"}},
	{label: "section-support", pattern: `(Set [\w ]+|SpO2 target, \w+): (<num>) \S+, (\S+), by: ([\w.-]+)(?:, corrected)?`,
		tells: []string{"settings.$1|set.value=$2", "settings.$1|set.at=$3", "settings.$1|set.by=$4"}},
	// held by the figures
	{label: "section-support", pattern: `(?:Lowest|Highest|Mean) set FiO2: <num> %|Rises of the set FiO2: \d+|SpO2 observations: \d+, ` +
		`.+|Hours under the interface: <num> h, .+`},
	one("section-support", `SpO2/FiO2 ratio: (\S+)`, "indices", "at", "indices.sf=$1"),
	one("section-support", `Set pressure times oxygen fraction: (\S+)`, "indices", "at", "indices.severity=$1"),
	one("section-support", `Oxygen saturation index: (\S+)`, "indices", "at", "indices.osi=$1"),
	{label: "section-signs", pattern: `(SpO2|SpO2 probe|Heart rate|Respiratory rate|Axillary temperature|Pressure read|Oxygen read|` +
		`Airway temperature|` +
		`Incubator temperature|Abdomen): ` +
		`(<num>|[a-z ]+)(?: \S+)?, (\S+), by: ([\w.-]+)(?:, corrected)?`,
		tells: []string{"observations.$1|sign.value=$2|word", "observations.$1|sign.at=$3", "observations.$1|sign.by=$4"}},
	{label: "section-signs", pattern: `Bubbling: (yes|no), (\S+), by: ([\w.-]+)(?:, corrected)?`,
		tells: []string{"observations.bubbling.value=$1|yes", "observations.bubbling.at=$2", "observations.bubbling.by=$3"}},
	one("section-signs", `Blood gas: (\w+)`, "gas", "at", "gas.sample=$1"),
	{label: "section-signs", pattern: `(?:pH|pCO2|Base excess|Bicarbonate|Lactate): .+`}, // held by their Observations
	one("section-signs", `Silverman-Andersen score: (\d+)`, "silverman", "at", "silverman.total=$1"),
	{label: "section-signs", pattern: `Episodes in .+`},
	{label: "section-skin", pattern: `(<site>): (<finding>)(?:, ([a-z]+(?:, [a-z]+)*))?, (\d\S+), by: ([\w.-]+)(?:, corrected)?`,
		tells: []string{"skin.sites[$1|word].finding=$2|word", "?3 skin.sites[$1|word].also=$3", "skin.sites[$1|word].at=$4",
			"skin.sites[$1|word].by=$5"}},
	{label: "section-skin", pattern: `not seen: (.+)`, tells: []string{"skin.unseen=$1|words"}},
	one("section-devices", `Interface: (\w+)(?: (.+?))?`, "interface", "since", "interface.type=$1", "?2 interface.size=$2"),
	one("section-devices", `Fit: (\w+)`, "interface.fit", "at", "interface.fit.value=$1"),
	one("section-devices", `Septum clear: (yes|no)`, "interface.clear", "at", "interface.clear.value=$1|yes"),
	one("section-devices", `Gastric aspirate, amount: (\w+), (<num>) mL`, "tubes[$1].aspirateMl", "at", "tubes[$1].aspirateMl.value=$2"),
	one("section-devices", `Gastric aspirate, look: (\w+), (.+)`, "tubes[$1].aspirateLook", "at", "tubes[$1].aspirateLook.value=$2"),
	one("section-devices", `Seen on X-ray: (\w+)`, "tubes[$1].xray", "at"),
	one("section-devices", `Safety check: (.+), (not )?in order`, "safety", "at", "safety.items[$1].item=$1",
		"?2 safety.items[$1].ok=false",
		"!2 safety.items[$1].ok=true"),
	one("section-devices", `Rotation: (\w+) to (\w+)`, "rotation.last", "at", "rotation.last.from=$1", "rotation.last.to=$2"),
	one("section-devices", `Gastric tube: (\w+), (\w+), (<num>) cm`, "tubes[$1]", "at", "tubes[$1].use=$1", "tubes[$1].route=$2",
		"tubes[$1].markCm=$3"),
	{label: "section-devices", pattern: `Bonnet: (.+?)(?:, (\d\S+), by: ([\w.-]+)(?:, corrected)?)`,
		tells: []string{"bonnet.size=$1", "bonnet.since=$2", "bonnet.by=$3"}},
	{label: "section-devices", pattern: `bonnet fits the latest head: (yes|no)`, tells: []string{"bonnet.fits=$1|yes"}},
	{label: "section-devices", pattern: `look at head and bonnet: (\S+), ([a-z-]+)`,
		tells: []string{"bonnet.reasons[$2].reason=$2", "bonnet.reasons[$2].on=$1"}},
	one("section-devices", `Humidifier: ([a-z ]+)`, "humidifier", "at", "humidifier.state=$1|word"),
	{label: "section-devices", pattern: `Humidifier: (off|warming)`, tells: []string{"humidifier.state=$1"}},
	one("section-devices", `Humidifier chamber: (<num>) °C`, "humidifier", "at", "humidifier.chamberC=$1"),
	{label: "section-devices", pattern: `water runs out, by reckoning: (\S+), check by eye`,
		tells: []string{"humidifier.waterEmptyAt=$1"}},
	one("section-devices", `Oxygen sensor reading: (<num>) % in (<num>) %, (within|out of) tolerance`, "setup.points[$2]", "at",
		"setup.points[$2].readPercent=$1", "setup.points[$2].gasPercent=$2", "setup.points[$2].ok=$3|within"),
	{label: "section-devices", pattern: `set-up steps not done: (.+)`, tells: []string{"setup.notDone=$1"}},
	{label: "section-devices", pattern: `circuit due on: (\S+)`, tells: []string{"setup.circuitDueOn=$1"}},
	{label: "section-devices", pattern: `Caution: heat or light around the infant, and the temperature probe neither outside nor ` +
		`shielded`, tells: []string{"setup.probeCaution=true"}},
	{label: "section-devices", pattern: `Alarm: .+|Tube moved: .+|Estimated tube length: .+`},
	{label: "section-growth", pattern: `(?:Gestation at birth: (\S+?))?(?:, )?(?:Postmenstrual age: (\S+))?`,
		tells: []string{"?1 age.gestation=$1", "?2 age.postmenstrual=$2"}},
	one("section-growth", `Weight: (<num>) g`, "weight", "at", "weight.weightG=$1"),
	one("section-growth", `Head circumference: (<num>) cm`, "head", "at", "head.circumferenceCm=$1"),
	{label: "section-growth", pattern: `Postmenstrual age: \d+ (days|weeks)`, tells: []string{"age.about=$1|about"}},
	{label: "section-growth", pattern: `Day of life: \d+|(?:Weight|Head circumference), (?:z-score|centile): .+|Head growth: .+`},
	{label: "section-words", pattern: `([a-z]+(?:[ -][a-z]+)*): .*\((\d+) in the window\)` + stamped,
		tells: []string{"cares[$1|word].window=$2", "cares[$1|word].at=$3", "cares[$1|word].by=$4"}},
	{label: "section-words", pattern: `(?:Note|Told|Outlook|Call for): .+|If .+`}, // held by their Observations
	{label: "section-mind", pattern: `not charted: (.+)`, tells: []string{"gaps=$1"}},
	{label: "section-mind", pattern: `older than its interval: (\S+), (\S+)`, tells: []string{"old[$1].path=$1", "old[$1].at=$2"}},
	{label: "section-mind", pattern: `to be asked about: (.+), ([a-z-]+), (\S+)`,
		tells: []string{"doubts[[$2]].text=$1", "doubts[<$2].code=$2", "doubts[<$2].path=$3"}},
	{label: "section-mind", pattern: `looks alike: ([\w.-]+), ` +
		`(\w+)`, tells: []string{"lookAlikes[$1].infant=$1", "lookAlikes[$1].why=$2"}},
	{label: "section-mind", pattern: `conflict: (\w+), ([\w.-]+)`, tells: []string{"conflicts[$1 $2].what=$1", "conflicts[$1 " +
		"$2].infant=$2"}},
	{label: "section-mind", pattern: `([^,]+), ([^,]+), source: (.+)`,
		tells: []string{"thresholds[$1].name=$1", "thresholds[$1].met=true", "thresholds[$1].text=$2", "thresholds[$1].source=$3"}},
	{label: "section-mind", pattern: `([^:]+)`, tells: []string{"remarks[[$1]].why=$1"}},
	{label: "section-corrections", pattern: `.+`},
	{label: "section-entries", pattern: `.+`},
}

func init() {
	dictionary["set"] = map[string]string{"Set pressure": "pressureCmH2O", "Set upper pressure": "upperPressureCmH2O",
		"Set rate": "rateMin", "Set inspiratory time": "inspiratoryS",
		"Set FiO2": "fio2Percent", "Set flow": "flowLMin", "SpO2 target, low": "spo2LowPercent", "SpO2 target, high": "spo2HighPercent"}
	dictionary["sign"] = map[string]string{"SpO2": "spo2Percent", "SpO2 probe": "spo2Site", "Heart rate": "heartRateBpm",
		"Respiratory rate":     "respRateBpm",
		"Axillary temperature": "axillaryC", "Pressure read": "pressureCmH2O", "Oxygen read": "fio2Percent",
		"Airway temperature": "airwayC", "Incubator temperature": "incubatorC", "Abdomen": "abdomenCm"}
	dictionary["limit"] = map[string]string{"SpO2 alarm, low": "spo2LowPercent", "SpO2 alarm, high": "spo2HighPercent",
		"Heart rate alarm, low": "heartRateLowBpm", "Heart rate alarm, high": "heartRateHighBpm", "Oxygen alarm, low": "oxygenLowPercent",
		"Oxygen alarm, high": "oxygenHighPercent", "Pressure alarm, low": "pressureLowCmH2O", "Pressure alarm, high": "pressureHighCmH2O"}
	dictionary["yes"] = yesNo
	dictionary["within"] = map[string]string{"within": "true", "out of": "false"}
	dictionary["about"] = map[string]string{"days": "false", "weeks": "true"}
}

var sectionPatterns = compiled(sectionGrammar, `$`)

// sections reads the Composition: every line of every section.
func (x *receiver) sections(t testing.TB) {
	t.Helper()
	x.put("new", "false")
	x.readAt("section-changes")
	x.put("gaps", none)
	x.readAt("section-mind")
	for _, c := range x.by["Composition"] {
		x.put("at", told(c, "date"))
		x.readAt("Composition")
		for _, s := range items0(c["section"]) {
			code := told(s, "code", "coding", 0, "code")
			div, err := html.Parse(strings.NewReader(strings.ReplaceAll(told(s, "text", "div"), "<br/>", " ")))
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range find(div, "p") {
				x.sectionLine(code, content(p))
			}
			x.readAt(code)
		}
	}
}

func (x *receiver) sectionLine(code, text string) {
	if code == "section-first" && x.firstRow(text) || code == "section-changes" && x.lateRow(text) {
		return
	}
	for i, s := range sectionGrammar {
		if s.label != code && s.label != "*" {
			continue
		}
		if m := sectionPatterns[i].FindStringSubmatch(text); m != nil {
			for _, tell := range s.tells {
				if strings.HasSuffix(tell, "=true") && strings.HasPrefix(tell, "new") {
					x.facts[x.who+" new"] = "true"
					continue
				}
				if strings.HasPrefix(tell, "gaps=") {
					delete(x.facts, x.who+" gaps")
				}
				x.tell(x.who, tell, m)
			}
			if s.then != nil {
				s.then(x.faceReader, x.who, m)
			}
			return
		}
	}
	x.fault("%s, %s: cannot be read: %.120s", x.who, code, text)
}
