package onetruth

import (
	"fmt"
	"regexp"
	"strings"
)

var breathingGrammar = []said{
	{label: "Support", pattern: `(CPAP|bilevel|nasal ventilation|high flow|low flow) since (<src>)(?:; on support since (<time>))?`,
		tells: []string{"support.state=on", "support.mode=$1|mode", "support/modeSince=$2", "?3 support.since=$3|time",
			"!3 support.since=$2|began"}},
	{label: "Support", pattern: `why: (<quoted>)`, tells: []string{"support.why=$1|text"}},
	{label: "Support", pattern: `driver not charted`},
	{label: "Support", pattern: `driver ([^;!]*[^;! ])`, tells: []string{"support.driver=$1"}},
	{label: "Support", pattern: `OFF since (<src>)(?:, reason: (trial off|[a-z]+))?`,
		tells: []string{"support.state=off", "support/stoppedAt=$1", "?2 support.reason=$2|word"}},
	{label: "Support", pattern: `none in this stay`, tells: []string{"support.state=never"}},
	{label: "Support", pattern: `(<setting>) (<num>) (?:cmH2O|/min|s|%|L/min) set (<src>)`,
		tells: []string{"settings.$1|field.value=$2", "settings.$1|field/at=$3"}},
	{label: "Support", pattern: `SpO2 target (<num>) to (<num>) % set (<src>)`,
		tells: []string{"settings.spo2LowPercent.value=$1", "settings.spo2LowPercent/at=$3", "settings.spo2HighPercent.value=$2",
			"settings.spo2HighPercent/at=$3"}},
	{label: "Support", pattern: `NOT CHARTED: ((?:<setting>)(?:, (?:<setting>))*)`, then: func(r *faceReader, who string, m []string) {
		for _, s := range strings.Split(m[1], ", ") {
			r.facts.put(who+" settings."+r.filter("field", s), notCharted)
		}
	}},
	{label: "Oxygen", pattern: `in the window:`},
	{label: "Oxygen", pattern: `FiO2 (?:(<num>) to (<num>) %|(<num>) % throughout)(?:, mean (<num>) %)?(?: \((<num>) % in the window ` +
		`before\))?, (never raised|raised once|raised twice|raised \d+ times)`,
		tells: []string{"?1 fio2.minPercent=$1", "?2 fio2.maxPercent=$2", "?3 fio2.minPercent=$3", "?3 fio2.maxPercent=$3",
			"?4 fio2.meanPercent=$4", "?5 fio2.meanBeforePercent=$5", "fio2.rises=$6|times"}},
	{label: "Oxygen", pattern: `FiO2 NOT CHARTED`, tells: []string{"fio2=not charted"}},
	{label: "Oxygen", pattern: `SpO2 NOT CHARTED`, tells: []string{"spo2=not charted"}},
	{label: "Oxygen", pattern: `SpO2 not charted`,
		tells: []string{"spo2.count=0", "spo2.below=0", "spo2.inTarget=0", "spo2.above=0", "spo2.noTarget=0"}},
	{label: "Oxygen", pattern: `SpO2 in target (\d+) of (\d+), (\d+) below, (\d+) above(?:, (\d+) with no target set)?`,
		tells: []string{"spo2.inTarget=$1", "spo2.count=$2", "spo2.below=$3", "spo2.above=$4", "?5 spo2.noTarget=$5",
			"!5 spo2.noTarget=0"}},
	{label: "Oxygen", pattern: `from set values and SpO2 (<num>) % of (<src>):`,
		tells: []string{"indices.spo2Percent=$1", "indices/at=$2"}},
	{label: "Oxygen", pattern: `indices NOT COMPUTED: no SpO2 recent enough`, tells: []string{"indices=not charted"}},
	{label: "Oxygen", pattern: `S/F (?:(<num>)|(NOT COMPUTED): a set value is missing)`,
		tells: []string{"?1 indices.sf=$1", "?2 indices.sf=not charted"}},
	{label: "Oxygen", pattern: `severity score \(set CPAP\) (?:(<num>)|(NOT COMPUTED): a set value is missing)`,
		tells: []string{"?1 indices.severity=$1", "?2 indices.severity=not charted"}},
	{label: "Oxygen", pattern: `OSI \(set CPAP\) (?:(<num>)|(NOT COMPUTED): a set value is missing)`,
		tells: []string{"?1 indices.osi=$1", "?2 indices.osi=not charted"}},
	{label: "Seen", pattern: `(?:LAST RECORDED )?(SpO2|heart rate|respiratory rate|axillary temperature|pressure read|oxygen read|` +
		`airway temperature|incubator temperature|abdomen) (<num>) (?:%|/min|°C|cmH2O|cm)(?: \(([a-z ]+)\))?, (<src>)`,
		tells: []string{"observations.$1|observed.value=$2", "observations.$1|observed/at=$4", "?3 observations.spo2Site.value=$3|word",
			"?3 observations.spo2Site/at=$4"}},
	{label: "Seen", pattern: `(?:LAST RECORDED )?SpO2 probe ([a-z ]+), (<src>)`,
		tells: []string{"observations.spo2Site.value=$1|word", "observations.spo2Site/at=$2"}},
	{label: "Seen", pattern: `(?:LAST RECORDED )?Silverman-Andersen (\d+) of 10, (<src>)`,
		tells: []string{"silverman.total=$1", "silverman/at=$2"}},
	{label: "Seen", pattern: `(?:LAST RECORDED )?(NOT )?bubbling, (<src>)`,
		tells: []string{"?1 observations.bubbling.value=false", "!1 observations.bubbling.value=true", "observations.bubbling/at=$2"}},
	{label: "Seen", pattern: `Silverman-Andersen NOT CHARTED`, tells: []string{"silverman=not charted"}},
	{label: "Episodes", pattern: `(in the window and in 24 h|in the window|in 24 h): (?:none charted|(\d+) \(([^;)]*); ([^)]*)\))`,
		then: episodesTold},
	{label: "Episodes", pattern: `last that needed help (<src>)`, tells: []string{"episodes/helpedAt=$1"}},
}

// episodesTold are counts, those not named zero.
func episodesTold(r *faceReader, who string, m []string) {
	counts := map[string]string{"count": "0"}
	for _, word := range []string{"apnoea", "bradycardia", "desaturation", "by-itself", "touched", "oxygen-raised", "bagged", "not-yet"} {
		counts[word] = "0"
	}
	if m[2] != "" {
		counts["count"] = m[2]
		for _, part := range strings.Split(m[3]+", "+m[4], ", ") {
			if i := strings.LastIndex(part, " "); i > 0 && counts[r.filter("word", part[:i])] == "0" {
				counts[r.filter("word", part[:i])] = part[i+1:]
			} else {
				r.fault("%s: episodes of %q", who, part)
			}
		}
	}
	for name, n := range counts {
		if m[1] != "in 24 h" {
			r.facts.put(who+" episodes.window."+name, n)
		}
		if m[1] != "in the window" {
			r.facts.put(who+" episodes.day."+name, n)
		}
	}
}

var faceGrammar = []said{
	{label: "Interface", pattern: `(mask|prongs|cannula) (?:size (NOT CHARTED|.+?) )?since (<src>)`,
		tells: []string{"interface.type=$1", "interface/since=$3"},
		then: func(r *faceReader, who string, m []string) {
			if m[2] != "" {
				r.facts.put(who+" interface.size", strings.Replace(m[2], "NOT CHARTED", notCharted, 1))
			}
		}},
	{label: "Interface", pattern: `fit: (sealed|leak|tight|loose), (<src>)`,
		tells: []string{"interface.fit.value=$1", "interface.fit/at=$2"}},
	{label: "Interface", pattern: `septum clear of it, (<src>)`, tells: []string{"interface.clear.value=true", "interface.clear/at=$1"}},
	{label: "Interface", pattern: `septum NOT CLEAR of it, ` +
		`(<src>)`, tells: []string{"interface.clear.value=false", "interface.clear/at=$1"}},
	{label: "Interface", pattern: `OFF the face since (<src>)`, tells: []string{"interface.type=off", "interface/since=$1"}},
	{label: "Interface", pattern: `NOT CHARTED`, tells: []string{"interface=not charted"}},
	{label: "Interface", pattern: `not rotated yet in this spell`, tells: []string{"rotation.last=not charted"}},
	{label: "Interface", pattern: `last rotation (mask|prongs) to (mask|prongs) (<src>), (?:mask|prongs) from (<time>) to (<time>)`,
		tells: []string{"rotation.last.from=$1", "rotation.last.to=$2", "rotation.last/at=$3", "rotation.last.fromSince=$4|time",
			"rotation.last.fromUntil=$5|time"}},
	{label: "Interface", pattern: `no interval of rotation`},
	{label: "Interface", pattern: `rotation due, by the last run: (?:(<time>)|not charted what was on)`,
		tells: []string{"rotation.state=off", "?1 rotation.dueAt=$1|time", "!1 rotation.dueAt=not charted",
			"!1 rotation.overdueAt=not charted"}},
	{label: "Interface", pattern: `hours under the interface NOT CHARTED`, tells: []string{"hoursUnder=not charted"}},
	{label: "Interface", pattern: `hours under the interface in 24 h:`},
	{label: "Interface", pattern: `(<num>) ([a-z ]+(?:, [a-z ]+)*)`, then: func(r *faceReader, who string, m []string) {
		for _, site := range strings.Split(sitesOf(m[2]), ", ") {
			r.facts.put(who+" hoursUnder."+site, m[1])
		}
	}},
	{label: "Skin", pattern: `(worst: )?(<site>) (<finding>)(?:, (NEW|WORSE|better|another kind than before))?(?:, also ([a-z]+(?:, ` +
		`(?:dry|blister|bleeding|crust|swelling|bruise|misshapen))*))?(?:, (under a barrier|no barrier))?(?:, (<num>) h under the ` +
		`interface in 24 h)?, seen (<src>)(?:, done: (<quoted>))?(?:, note: (<quoted>))?`,
		then: siteTold},
	{label: "Skin", pattern: `(\d+) sites? intact, seen (<time>)(?: to (<time>))?`,
		tells: []string{"skin.intact=$1", "skin.intactFrom=$2|time", "?3 skin.intactTo=$3|time", "!3 skin.intactTo=$2|time"}},
	{label: "Skin", pattern: `to be seen again: [^;]+`},
	{label: "Skin", pattern: `not seen since support began: ([a-z ]+(?:, [a-z ]+)*)`, tells: []string{"skin.unseen=$1|sites"}},
	{label: "Skin", pattern: `never seen in this stay: ([a-z ]+(?:, [a-z ]+)*)`, tells: []string{"skin.never=$1|sites"}},
	{label: "Skin", pattern: `NOT CHARTED: no site seen in this stay`,
		tells: []string{"skin.checkedAt=not charted", "skin.worst=not charted", "skin.worstSite=not charted", "skin.worstAt=not charted",
			"skin.sites=none"}},
}

// siteTold is a site that stands by itself.
func siteTold(r *faceReader, who string, m []string) {
	site := r.filter("word", m[2])
	item := fmt.Sprintf("skin.sites[%s]", site)
	r.tell(who, item+".site="+site, nil)
	r.tell(who, item+".finding="+r.filter("word", m[3]), nil)
	r.source(who+" "+item, "at", m[8])
	r.facts.put(who+" "+item+".also", none)
	if m[5] != "" {
		r.facts[who+" "+item+".also"] = r.filter("words", m[5])
	}
	for _, f := range []struct{ path, value string }{
		{item + ".change", dictionary["change"][m[4]]}, {item + ".action", r.filter("text", m[9])},
		{item + ".note", r.filter("text", m[10])},
		{item + ".underBarrier", map[string]string{"under a barrier": "true", "no barrier": "false"}[m[6]]}, {"hoursUnder." + site, m[7]},
	} {
		if f.value != "" {
			r.facts.put(who+" "+f.path, f.value)
		}
	}
	if m[1] != "" {
		r.facts.put(who+" skin.worst", r.filter("word", m[3]))
		r.facts.put(who+" skin.worstSite", site)
		r.facts.put(who+" skin.worstAt", r.facts[who+" "+item+".at"])
	}
}

var sensorPoint = regexp.MustCompile(`(\d+(?:\.\d+)?) % read (\d+(?:\.\d+)?) %( OUT OF TOLERANCE)?(?: \(in humidified gas a sound ` +
	`sensor reads about (\d+(?:\.\d+)?) %: check on dry gas\))?(?: (` + clockTime + `))?(?:, |$)`)
