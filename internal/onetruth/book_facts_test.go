package onetruth

import (
	"regexp"
	"slices"
	"strings"
)

// cellOf is how a row of sheet Facts reads: its path, the fact that its value is,
// and the fact whose source stands beside it, as base/moment ("-": no moment of its
// own). then reads a value that is several facts.
type cellOf struct {
	path, fact, source string
	then               func(b *tables, who string, m []string, r record)
}

var factCells = []cellOf{
	{path: `since|new|sex|mother|visit|birthOrder|multiples|age\.gestation|age\.dayOfLife`, fact: "$0"},
	{path: `age\.postmenstrual`, then: func(b *tables, who string, _ []string, r record) {
		age, about := strings.CutPrefix(r["Value"], "about ")
		b.put(who, "age.postmenstrual", age)
		b.put(who, "age.about", map[bool]string{true: "true", false: "false"}[about])
	}},
	{path: `support\.(?:state|mode|since|modeSince|driver|stoppedAt|reason)`, fact: "$0", source: "support/-"},
	{path: `(settings|observations)\.(\w+)`, source: "$1.$2/at", then: func(b *tables, who string, m []string, r record) {
		if r["Value"] == notCharted {
			b.put(who, m[0], notCharted)
		} else {
			b.put(who, m[0]+".value", r["Value"])
		}
	}},
	{path: `(?:fio2|spo2)\.\w+|episodes\.(?:window|day)\.[\w-]+|hoursUnder\.[\w-]+|skin\.(?:unseen|state|dueAt|overdueAt|until|` +
		`dueSites)`, fact: "$0"},
	{path: `rotation\.(?:dueAt|overdueAt|state|until)|bonnet\.(?:dueOn|reason|state|until|checkFrom|latest|fits)|` +
		`head\.(?:growthCmPerWeek|withinError)`, fact: "$0"},
	{path: `setup\.(?:calibrated|notDone|circuitDueOn|probeCaution)|humidifier\.(?:readyBeforeUse|waterEmptyAt)`, fact: "$0"},
	{path: `setup\.sealHeld`, fact: "$0", source: "setup.seal/at"},
	{path: `humidifier\.water`, fact: "$0", then: func(b *tables, who string, _ []string, r record) {
		if r["Entry"] != b.facts[who+" humidifier.entry"] { // else the humidifier's own entry tells it
			b.source(who, "humidifier.waterFrom", "at", r)
		}
	}},
	{path: `tubes\.(\w+)\.xray`, source: "tubes[$1].xray/at"},
	// as a whole
	{path: `fio2|spo2|indices|interface|rotation|hoursUnder|weight|birthWeight|tubes|head|bonnet|humidifier|setup`, fact: "$0"},
	{path: `indices\.(?:sf|severity|osi)`, fact: "$0", source: "indices/at"},
	{path: `silverman\.total`, source: "silverman/at", then: func(b *tables, who string, _ []string, r record) {
		path := "silverman.total"
		if r["Value"] == notCharted {
			path = "silverman"
		}
		b.put(who, path, r["Value"])
	}},
	{path: `episodes\.helpedAt`, fact: "$0", source: "episodes/helpedAt"},
	{path: `interface\.(?:type|size|since)`, fact: "$0", source: "interface/since"},
	{path: `rotation\.last`, source: "rotation.last/at", then: func(b *tables, who string, _ []string, r record) {
		if r["Value"] == none {
			b.put(who, "rotation.last", notCharted)
			return
		}
		from, to, _ := strings.Cut(r["Value"], " to ")
		b.put(who, "rotation.last.from", from)
		b.put(who, "rotation.last.to", to)
	}},
	{path: `skin\.checkedAt`, fact: "$0", then: func(b *tables, who string, _ []string, r record) {
		if r["Value"] == notCharted {
			for _, path := range []string{"skin.worst", "skin.worstSite", "skin.worstAt"} {
				b.put(who, path, notCharted)
			}
		}
	}},
	{path: `skin\.(?:worst|worstSite)`, fact: "$0", then: func(b *tables, who string, _ []string, r record) {
		b.put(who, "skin.worstAt", b.moment(r["Happened"], r["Happened, offset from UTC"]))
	}},
	{path: `skin\.sites\.([\w-]+)\.(finding|also|underBarrier|action|note|change)`, fact: "skin.sites[$1].$2",
		source: "skin.sites[$1]/at", then: func(b *tables, who string, m []string, _ record) {
			b.put(who, "skin.sites["+m[1]+"].site", m[1])
		}},
	{path: `tubes\.(\w+)\.(route|sizeFr|markCm)`, fact: "tubes[$1].$2", source: "tubes[$1]/at",
		then: func(b *tables, who string, m []string, _ record) {
			b.put(who, "tubes["+m[1]+"].use", m[1])
		}},
	{path: `tubes\.(\w+)\.referenceMarkCm`, fact: "tubes[$1].referenceMarkCm", then: func(b *tables, who string, m []string, r record) {
		b.put(who, "tubes["+m[1]+"].referenceAt", b.moment(r["Happened"], r["Happened, offset from UTC"]))
	}},
	{path: `tubes\.(\w+)\.(moved|checkedAt)`, fact: "tubes[$1].$2"},
	{path: `tubes\.(\w+)\.ph`, fact: "tubes[$1].ph.value", source: "tubes[$1].ph/at"},
	{path: `tubes\.(\w+)\.aspirate`, fact: "tubes[$1].aspirate", source: "tubes[$1].aspirateFrom/at"},
	{path: `tubes\.(\w+)\.estimateCm`, fact: "tubes[$1].estimateCm", then: func(b *tables, who string, m []string, r record) {
		by, _, _ := strings.Cut(strings.TrimPrefix(r["Unit or remark"], "cm, "), ":")
		b.put(who, "tubes["+m[1]+"].estimateBy", by)
		b.put(who, "tubes["+m[1]+"].estimateWeightAt", b.moment(r["Happened"], r["Happened, offset from UTC"]))
	}},
	{path: `(weight|head)\.(?:weightG|circumferenceCm|unreliable|noZ)`, fact: "$0", source: "$1/at"},
	{path: `birthWeight\.(?:weightG|noZ)`, fact: "$0", source: "birthWeight/-"},
	{path: `(weight|head|birthWeight)\.(?:z|centile)`, fact: "$0", then: func(b *tables, who string, m []string, r record) {
		b.put(who, m[1]+".standard", r["Unit or remark"])
	}},
	{path: `head\.growthFrom`, fact: "head.growthFrom.circumferenceCm", source: "head.growthFrom/at"},
	{path: `bonnet\.size`, fact: "$0", source: "bonnet/-", then: func(b *tables, who string, _ []string, r record) {
		if r["Value"] == "does not apply" { // none on: since when
			b.put(who, "bonnet.at", b.moment(r["Happened"], r["Happened, offset from UTC"]))
		}
	}},
	{path: `bonnet\.since`, fact: "$0", source: "bonnet/since"},
	{path: `bonnet\.reasons\.([\w-]+)`, fact: "bonnet.reasons[$1].on", source: "bonnet.reasons[$1]/-",
		then: func(b *tables, who string, m []string, _ record) {
			b.put(who, "bonnet.reasons["+m[1]+"].reason", m[1])
		}},
	{path: `humidifier\.(?:state|chamberC|inTolerance)`, fact: "$0", source: "humidifier/at"},
	{path: `setup\.points\.(\d+)`, fact: "setup.points[$1].readPercent", source: "setup.points[$1]/at",
		then: func(b *tables, who string, m []string, r record) {
			b.put(who, "setup.points["+m[1]+"].gasPercent", m[1])
			_, ok, _ := strings.Cut(r["Unit or remark"], "within tolerance: ")
			b.put(who, "setup.points["+m[1]+"].ok", yesNo[ok])
		}},
	{path: `setup\.points\.(\d+)\.humid`, fact: "setup.points[$1].humidPercent"},
}

var factPatterns = func() (out []*regexp.Regexp) {
	for _, c := range slices.Concat(factCells, careCells) {
		out = append(out, regexp.MustCompile(`^(?:`+c.path+`)$`))
	}
	return out
}()

// fact reads one row of sheet Facts.
func (b *tables) fact(r record) {
	who, path := r["Infant's key"], r["Path"]
	if who == "the whole unit" {
		who = unit
	}
	if strings.HasPrefix(r["Value"], "left out: ") {
		return // no null, so the JSON has nothing of it
	}
	for i, c := range slices.Concat(factCells, careCells) {
		m := factPatterns[i].FindStringSubmatch(path)
		if m == nil {
			continue
		}
		fill := func(s string) string {
			return group.ReplaceAllStringFunc(s, func(ref string) string { return m[ref[1]-'0'] })
		}
		if c.fact != "" {
			b.put(who, fill(c.fact), b.cell(path, r["Value"], r["Unit or remark"]))
		}
		if c.source != "" {
			base, moment, _ := strings.Cut(fill(c.source), "/")
			b.source(who, b.again(who, base), moment, r)
		}
		if c.then != nil {
			c.then(b, who, m, r)
		}
		return
	}
	b.fault("%s: cannot be read: %s", who, path)
}

// truths are paths whose value is yes or no.
var truths = regexp.MustCompile(`^new$|\.(moved|underBarrier|withinError|fits|inTolerance|readyBeforeUse|calibrated|sealHeld|` +
	`probeCaution|clear|readBack)$`)

// cell is a value as handover.json has it.
func (b *tables) cell(path, v, remark string) string {
	if truths.MatchString(path) && yesNo[v] != "" {
		return yesNo[v]
	}
	if path == "tubes" && v == "none in" {
		return none
	}
	return b.moment(v, remark)
}

// source reads where a fact comes from, of the columns beside it.
func (b *tables) source(who, base, moment string, r record) {
	if r["Happened"] == "from the record" && r["Entry"] == "from the record" {
		return
	}
	if moment != "-" {
		b.put(who, base+"."+moment, b.moment(r["Happened"], r["Happened, offset from UTC"]))
	}
	b.put(who, base+".charted", b.moment(r["Charted"], r["Charted, offset from UTC"]))
	b.put(who, base+".by", r["By"])
	b.put(who, base+".entry", r["Entry"])
	if r["Corrected"] != "not corrected" {
		b.put(who, base+".corrected.charted", b.moment(r["Corrected"], r["Corrected, offset from UTC"]))
		b.put(who, base+".corrected.by", r["By"])
	}
}
