package onetruth

import (
	"slices"
	"strings"
)

// grammar is all that a face in words may say of an infant, or of the unit.
var grammar = slices.Concat(whoGrammar, changedGrammar, dueGrammar(), firstGrammar, breathingGrammar, faceGrammar,
	bodyGrammar, equipmentGrammar, wordsGrammar, unitGrammar)

var whoGrammar = []said{
	{label: "Called", pattern: `([^:]+): name not shown(?:, no number|, number (\S+))`,
		tells: []string{"cot=$1", "restricted=true", "mrn=$2"}},
	{label: "Called", pattern: `([^:]+): no name charted(?:, no number|, number (\S+))`, tells: []string{"cot=$1", "mrn=$2"}},
	{label: "Called", pattern: `([^:]+): (.+?)(?:, no number|, number (\S+))`, tells: []string{"cot=$1", "name=$2", "mrn=$3"}},
	{label: "Who", pattern: `label ([^;]+)`, tells: []string{"temporary=$1"}},
	{label: "Who", pattern: `formerly ([^;]+)`, tells: []string{"formerly=$1"}},
	{label: "Who", pattern: `record key ([\w.-]+)`, tells: []string{"infant=$1"}},
	{label: "Who", pattern: `visit ([^;]+)`, tells: []string{"visit=$1"}},
	{label: "Who", pattern: `(?:sex )?(female|male|other|unknown)`, tells: []string{"sex=$1"}},
	{label: "Who", pattern: `(\d+) of (\d+) in this birth`, tells: []string{"birthOrder=$1", "multiples=$2"}},
	{label: "Who", pattern: `(\d+) in this birth`, tells: []string{"multiples=$1"}},
	{label: "Who", pattern: `number (\d+) in this birth`, tells: []string{"birthOrder=$1"}},
	{label: "Who", pattern: `gestation not charted`, tells: []string{"age.gestation=not charted"}},
	{label: "Who", pattern: `born at (\S+) weeks`, tells: []string{"age.gestation=$1"}},
	{label: "Who", pattern: `postmenstrual age (about )?(\S+) weeks`, tells: []string{"age.postmenstrual=$2", "?1 " +
		"age.about=true", "!1 age.about=false"}},
	{label: "Who", pattern: `day of life (\d+) \(day of birth is 0\)`, tells: []string{"age.dayOfLife=$1"}},
	{label: "Look-alike", pattern: `LOOK-ALIKE \((\w+)\): cot (.+)`, tells: []string{"lookAlikes[$2|who].infant=$2|" +
		"who", "lookAlikes[$2|who].why=$1"}},
	{label: "Conflict", pattern: `CONFLICT: same (?:hospital )?(number|driver|cot) (.+?) charted for cot (.+)`,
		tells: []string{"conflicts[$1 $3|who].what=$1", "conflicts[$1 $3|who].value=$2", "conflicts[$1 $3|who].infant=$3|who"}},
}

// change is one line of what changed: a path, its values before and now.
func change(pattern, path, filter string) said {
	item := "changes[" + path + "]."
	return said{label: "Changed", pattern: pattern + `<late>`,
		tells: []string{item + "path=" + path, item + "from=$2" + filter, item + "to=$3" + filter, item + "why=$4|why"}}
}

var changedGrammar = []said{
	{label: "Changed", pattern: `since (<time>):`, tells: []string{"since=$1|time", "new=false"}},
	{label: "Changed", pattern: `NEW on the ward since (<time>)`, tells: []string{"since=$1|time", "new=true", "changes=none"}},
	{label: "Changed", pattern: `nothing of what was handed over`, tells: []string{"changes=none"}},
	change(`(<setting>) (not charted|<num>) → (not charted|<num>)(?: (?:cmH2O|/min|s|%|L/min))?`, "settings.$1|field", ""),
	change(`(interface) ([^;→]+) → ([^;(]*[^;( ])`, "interface", ""),
	change(`(last rotation) ([^;→]+) → (?:again )?([^;(]*[^;( ])`, "rotation.last", ""),
	change(`(<site>) (<finding>|not charted) → (<finding>|not charted)`, "skin.sites.$1|word", "|word"),
	change(`(feeding|venting) tube (in|out|not charted) → (in|out|not charted)`, "tubes.$1.in", "|in"),
	change(`(feeding|venting) tube route ([^\s;]+|not charted) → ([^\s;]+|not charted)`, "tubes.$1.route", ""),
	change(`(feeding|venting) tube mark (<num>|not charted) → (<num>|not charted)(?: cm)?`, "tubes.$1.markCm", ""),
	change(`(head) (<num>|not charted) → (<num>|not charted)(?: cm)?`, "head", ""),
	change(`(bonnet) (on|off|not charted) → (on|off|not charted)`, "bonnet.in", "|in"),
	change(`(bonnet size) ([^;→]+) → ([^;(]*[^;( ])`, "bonnet.size", ""),
	change(`(bonnet due) ([^;→]+) → ([^;(]*[^;( ])`, "bonnet.due", "|dueday"),
	change(`(support) ([^\s;]+|not charted) → ([^\s;]+|not charted)`, "support.state", ""),
	change(`(mode) ([^;→]+) → ([^;(]*[^;( ])`, "support.mode", "|mode"),
	change(`(cot) ([^;→]+) → ([^;(]*[^;( ])`, "cot", ""),
	change(`(hospital number) ([^;→]+) → ([^;(]*[^;( ])`, "mrn", ""),
	change(`(name) ([^;→]+) → ([^;(]*[^;( ])`, "name", ""),
	change(`(outlook) ([^\s;]+|not charted) → ([^\s;]+|not charted)`, "outlook.severity", ""),
}

// dueGrammar is what is due, in its three states, and what falls due later. What a
// thing's own place tells of it in handover.json is told here alone.
func dueGrammar() []said {
	out := []said{{label: "Due", pattern: `nothing overdue`, tells: []string{"due=none"}}}
	for _, kind := range []struct{ pattern, name, which string }{
		{`(<thing>)`, "due[<$1|due].", "what=$1|due"}, {`(<care>)`, "due[<care $1|word].", "care=$1|word"},
		{`task (<quoted>)`, "due[<task $1|text].", "text=$1|text"},
	} {
		begins, goesOn := strings.Replace(kind.name, "[<", "[[", 1), kind.name
		what, _, _ := strings.Cut(strings.TrimPrefix(kind.name, "due[<"), " ")
		tells := []string{begins + kind.which}
		if !strings.HasPrefix(what, "$") {
			tells = append(tells, goesOn+"what="+what)
		}
		why := `(?: \((?:(<quoted>)|([^;()“]*?))?(?:; )?(?:(unit policy|plan) (\w+))?\))?`
		for _, p := range []struct {
			pattern string
			tells   []string
		}{
			{`OVERDUE (?:\d+ (?:min|h|days?) (?:\d+ min )?)?` + kind.pattern + why + `, since (<time>), was due (?:(<time>)|(<day>))`,
				[]string{"state=overdue", "overdueAt=$6|time", "at=$7|time", "on=$8|day"}},
			{kind.pattern + why + ` DEFERRED until (<time>), was due (?:(<time>)|(<day>))`,
				[]string{"state=deferred", "until=$6|time", "at=$7|time", "on=$8|day"}},
			{kind.pattern + why + ` due (?:(<time>)|(<day>))(?:, overdue from (<time>))?`,
				[]string{"state=due", "at=$6|time", "on=$7|day", "overdueAt=$8|time"}},
		} {
			all := slices.Concat(tells, p.tells, []string{"every=$5"})
			for i, fact := range all[len(tells):] {
				n := fact[strings.IndexAny(fact, "$")+1:][:1]
				if strings.Contains(fact, "$") {
					all[len(tells)+i] = "?" + n + " " + goesOn + fact
				} else {
					all[len(tells)+i] = goesOn + fact
				}
			}
			out = append(out, said{label: "Due", pattern: p.pattern, tells: all, then: func(r *faceReader, who string, m []string) {
				r.dueWhy(who, r.again(who, group.ReplaceAllStringFunc(strings.TrimSuffix(kind.name, "."), func(s string) string {
					return r.filter(group.FindStringSubmatch(s)[2], m[1])
				})), m)
			}})
		}
	}
	return out
}

// dueWhy adds why a thing is due, and what its own place tells of it too.
func (r *faceReader) dueWhy(who, item string, m []string) {
	why := m[3]
	switch {
	case m[2] != "":
		why = r.filter("text", m[2])
	case m[1] == "skin check":
		why = sitesOf(m[3])
	}
	if why != "" {
		r.facts.put(who+" "+item+".why", why)
	}
	if m[4] == "plan" {
		r.facts.put(who+" "+item+".planned", "true")
	}
	place := map[string]string{"rotation": " rotation.", "skin check": " skin.", "bonnet and head measure": " bonnet."}[m[1]]
	if m[1] == "circuit change" {
		r.facts.put(who+" setup.circuitDueOn", r.facts[who+" "+item+".on"])
	}
	if place == "" {
		return
	}
	for from, to := range map[string]string{"state": "state", "at": "dueAt", "on": "dueOn", "overdueAt": "overdueAt", "until": "until"} {
		if v := r.facts[who+" "+item+"."+from]; v != "" && (to != "overdueAt" || place != " bonnet.") {
			r.facts.put(who+place+to, v)
		}
	}
	switch {
	case m[2] != "" || why == "":
	case place == " skin.":
		r.facts.put(who+" skin.dueSites", why)
	case place == " bonnet.":
		r.facts.put(who+" bonnet.reason", r.filter("word", why))
	}
}
