package onetruth

import (
	"strings"
)

var bodyGrammar = []said{
	{label: "Tube", pattern: `NOT CHARTED whether a gastric tube is in`, tells: []string{"tubes=not charted"}},
	{label: "Tube", pattern: `no gastric tube in`, tells: []string{"tubes=none"}},
	{label: "Tube", pattern: `(MOVED: )?(oral|nasal) (feeding|venting) tube(?:, (?:(size NOT CHARTED)|(<num>) Fr))?, mark (<num>) ` +
		`cm<of>, reference mark (<num>) cm(?:, pH (<num>)<of>)?(?:, aspirate (got|none)<of>)?(?:, (<num>) mL of (<src>))?(?:, look ` +
		`(<quoted>) of (<src>))?, looked at (<time>)`,
		tells: []string{"tubes[$3].use=$3", "tubes[$3].route=$2", "?4 tubes[$3].sizeFr=not charted", "?5 tubes[$3].sizeFr=$5",
			"?1 tubes[$3].moved=true", "!1 tubes[$3].moved=false",
			"tubes[$3].markCm=$6", "tubes[$3].referenceMarkCm=$9", "?10 tubes[$3].ph.value=$10", "?13 tubes[$3].aspirate=$13",
			"tubes[$3].checkedAt=$20|time",
			"?7 tubes[$3]/at=$7", "!7 tubes[$3].at=$20|time", "?8 tubes[$3]/at=$8", "?11 tubes[$3].ph/at=$11", "?12 tubes[$3].ph/at=$12",
			"?14 tubes[$3].aspirateFrom/at=$14", "?16 tubes[$3].aspirateMl.value=$16", "?17 tubes[$3].aspirateMl/at=$17",
			"?18 tubes[$3].aspirateLook.value=$18|text", "?19 tubes[$3].aspirateLook/at=$19", "?15 tubes[$3].aspirateFrom/at=$15"},
		then: func(r *faceReader, who string, m []string) {
			r.tube = m[3]
			for _, x := range []struct{ told, of, path string }{{m[10], m[11], ".ph.at"}, {m[13], m[14], ".aspirateFrom.at"}} {
				if x.told != "" && x.of == "" { // at the look
					r.facts.put(who+" tubes["+m[3]+"]"+x.path, r.clock(m[20]))
				}
			}
			if m[13] != "" {
				r.facts.put(who+" tubes["+m[3]+"].aspirateAt", r.facts[who+" tubes["+m[3]+"].aspirateFrom.at"])
			}
		}},
	{label: "Tube", pattern: `length by (Freeman 2012) (<num>) cm \(weight of (<time>); a prompt, never an order\)`,
		then: func(r *faceReader, who string, m []string) {
			r.facts.put(who+" tubes["+r.tube+"].estimateBy", r.filter("word", strings.ToLower(m[1])))
			r.facts.put(who+" tubes["+r.tube+"].estimateCm", m[2])
			r.facts.put(who+" tubes["+r.tube+"].estimateWeightAt", r.clock(m[3]))
		}},
	{label: "Tube", pattern: `seen by X-ray (<src>)`, then: func(r *faceReader, who string, m []string) {
		r.source(who+" "+
			"tubes["+r.tube+"].xray", "at", m[1])
	}},
	{label: "Growth", pattern: `head (<num>) cm, (<src>)(?:, UNRELIABLE: (\w+))?<z>(?:, growth (<num>) cm a week since (<num>) cm of ` +
		`(<time>)(<hands>)(, within measuring error)?)?`,
		tells: []string{"head.circumferenceCm=$1", "head/at=$2", "?3 head.unreliable=$3", "?4 head.z=$4", "?5 head.centile=$5",
			"?6 head.standard=$6|standard", "?7 head.noZ=$7|noz",
			"?8 head.growthCmPerWeek=$8", "?9 head.growthFrom.circumferenceCm=$9", "?10 head.growthFrom.at=$10|time",
			"?11 head.growthFrom/at=$11",
			"?12 head.withinError=true"},
		then: func(r *faceReader, who string, m []string) {
			if m[8] != "" && m[12] == "" {
				r.facts.put(who+" head.withinError", "false")
			}
		}},
	{label: "Growth", pattern: `head NOT CHARTED`, tells: []string{"head=not charted"}},
	{label: "Growth", pattern: `weight (<num>) g, (<src>)<z>`, tells: []string{"weight.weightG=$1", "weight/at=$2", "?3 " +
		"weight.z=$3", "?4 weight.centile=$4", "?5 weight.standard=$5|standard", "?6 weight.noZ=$6|noz"}},
	{label: "Growth", pattern: `weight NOT CHARTED`, tells: []string{"weight=not charted"}},
	{label: "Growth", pattern: `birth weight (<num>) g<z>`, tells: []string{"birthWeight.weightG=$1", "?2 birthWeight.z=$2", "?3 " +
		"birthWeight.centile=$3", "?4 birthWeight.standard=$4|standard", "?5 birthWeight.noZ=$5|noz"}},
	{label: "Growth", pattern: `birth weight NOT CHARTED`, tells: []string{"birthWeight=not charted"}},
	{label: "Bonnet", pattern: `NOT CHARTED`, tells: []string{"bonnet=not charted"}},
	{label: "Bonnet", pattern: `size (.+?) since (<src>)`, tells: []string{"bonnet.size=$1", "bonnet/since=$2"}},
	{label: "Bonnet", pattern: `size NOT CHARTED`, tells: []string{"bonnet.size=not charted"}},
	{label: "Bonnet", pattern: `none on(?: since (<src>))?`, tells: []string{"?1 bonnet/at=$1"}},
	{label: "Bonnet", pattern: `within its range`, tells: []string{"bonnet.fits=true"}},
	{label: "Bonnet", pattern: `latest head OUT OF ITS RANGE`, tells: []string{"bonnet.fits=false"}},
	{label: "Bonnet", pattern: `whether in range NOT CHARTED`, tells: []string{"bonnet.fits=not charted"}},
	{label: "Bonnet", pattern: `due for: ((?:[a-z ]+ <day>)(?:, [a-z ]+ <day>)*)`, then: func(r *faceReader, who string, m []string) {
		for _, one := range strings.Split(m[1], ", ") {
			i := strings.IndexAny(one, "0123456789")
			item := "bonnet.reasons[" + r.filter("word", one[:i-1]) + "]."
			r.facts.put(who+" "+item+"reason", r.filter("word", one[:i-1]))
			r.facts.put(who+" "+item+"on", r.day(one[i:]))
		}
	}},
	{label: "Bonnet", pattern: `outgrown by forecast between (?:(<day>)|a day beyond the forecast) and (?:(<day>)|a day beyond the ` +
		`forecast)`, tells: []string{"?1 bonnet.checkFrom=$1|day", "?2 bonnet.latest=$2|day"}},
}

var equipmentGrammar = []said{
	{label: "Humidifier", pattern: `NOT CHARTED`, tells: []string{"humidifier=not charted"}},
	{label: "Humidifier", pattern: `(off|warming|ready|in tolerance|OUT OF TOLERANCE)(?: when read)?`,
		then: func(r *faceReader, who string, m []string) {
			state := r.filter("word", strings.ToLower(m[1]))
			r.facts.put(who+" humidifier.state", state)
			if strings.HasSuffix(state, "tolerance") {
				r.facts.put(who+" humidifier.inTolerance", map[bool]string{true: "true", false: "false"}[state == "in-tolerance"])
			}
		}},
	{label: "Humidifier", pattern: `chamber temperature NOT CHARTED`, tells: []string{"humidifier.state=not charted"}},
	{label: "Humidifier", pattern: `chamber (<num>) °C, (<src>)`, tells: []string{"humidifier.chamberC=$1", "humidifier/at=$2"}},
	{label: "Humidifier", pattern: `ready before use`, tells: []string{"humidifier.readyBeforeUse=true"}},
	{label: "Humidifier", pattern: `NOT READY before use`, tells: []string{"humidifier.readyBeforeUse=false"}},
	{label: "Humidifier", pattern: `ready before use: NOT CHARTED`, tells: []string{"humidifier.readyBeforeUse=not charted"}},
	{label: "Humidifier", pattern: `water NOT CHARTED`, tells: []string{"humidifier.water=not charted"}},
	{label: "Humidifier", pattern: `water (ok|changed|LOW)(?:, <src>)?`, tells: []string{"humidifier.water=$1|lower"}},
	{label: "Humidifier", pattern: `water (?:runs|was to run) out about (<time>) \(estimate: check by eye\)`,
		tells: []string{"humidifier.waterEmptyAt=$1|time"}},
	{label: "Humidifier", pattern: `when the water runs out: NOT CHARTED`, tells: []string{"humidifier.waterEmptyAt=not charted"}},
	{label: "Set-up", pattern: `NOT CHARTED`, tells: []string{"setup=not charted"}},
	{label: "Set-up", pattern: `oxygen sensor (passed|FAILED|check NOT CHARTED)(?:: (<point>(?:, <point>)*))?`,
		then: func(r *faceReader, who string, m []string) {
			states := map[string]string{"passed": "true", "FAILED": "false", "check NOT CHARTED": notCharted}
			r.facts.put(who+" setup.calibrated", states[m[1]])
			points := sensorPoint.FindAllStringSubmatch(m[2], -1)
			at, all := "", ""
			for i := len(points) - 1; i >= 0; i-- { // one moment stands for those before it
				p := points[i]
				all = p[0] + all
				item := who + " setup.points[" + p[1] + "]."
				r.facts.put(item+"gasPercent", p[1])
				r.facts.put(item+"readPercent", p[2])
				r.facts.put(item+"ok", map[bool]string{true: "true", false: "false"}[p[3] == ""])
				if p[4] != "" {
					r.facts.put(item+"humidPercent", p[4])
				}
				if p[5] != "" {
					at = r.clock(p[5])
				}
				r.facts.put(item+"at", at)
			}
			if all != m[2] {
				r.fault("%s: of the sensor's points only %q was read", who, all)
			}
			if len(points) == 0 {
				r.facts.put(who+" setup.points", none)
			}
		}},
	{label: "Set-up", pattern: `seal held`, tells: []string{"setup.sealHeld=true"}},
	{label: "Set-up", pattern: `seal DID NOT HOLD`, tells: []string{"setup.sealHeld=false"}},
	{label: "Set-up", pattern: `seal check NOT CHARTED`, tells: []string{"setup.sealHeld=not charted"}},
	{label: "Set-up", pattern: `steps NOT DONE: ([^;!]*[^;! ])`, tells: []string{"setup.notDone=$1|words"}},
	{label: "Set-up", pattern: `steps not ticked: ([^;!]*[^;! ])`, tells: []string{"setup.notCharted=$1|words"}},
	{label: "Set-up", pattern: `circuit due (<day>)`, tells: []string{"setup.circuitDueOn=$1|day"}},
	{label: "Set-up", pattern: `circuit fitted: NOT CHARTED`, tells: []string{"setup.circuitDueOn=not charted"}},
	{label: "Set-up", pattern: `CAUTION: temperature probe near a source of heat or light, neither outside nor shielded`,
		tells: []string{"setup.probeCaution=true"}},
	{label: "Set-up", pattern: `temperature probe outside or shielded`, tells: []string{"setup.probeCaution=false"}},
}
