package onetruth

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"cotline/internal/ward"
	"cotline/internal/wardtest"

	"golang.org/x/net/html"
)

// The sections of a document tell what the faces in words tell: the rows of the full form
// by the grammar of those, those of the short form by one of their own. A paragraph is a
// row, or an item of one.

// shortGrammar is what the short form's rows may say. Most of it is told by what is sent
// beside it, and held there.
var shortGrammar = []said{
	{label: "Support", pattern: `(?:CPAP|bilevel|nasal ventilation|high flow|low flow)(?: <num>(?: over <num>)?)?(?:, rate <num>)?` +
		`(?:, FiO2 <num>(?: throughout| \((?:<num> to <num>|<num> throughout)(?:, mean <num>)?(?:, raised [a-z0-9 ]+)?\))?)?` +
		`(?:, flow <num>)?(?:, target (?:<num> to <num>|from <num>|up to <num>))?`},
	{label: "Support", pattern: `alarm limits [A-Za-z0-9., ]+`},
	{label: "Support", pattern: `OFF since <time>(?: \([a-z ]+\))?`},
	{label: "Support", pattern: `before that FiO2 (?:<num> throughout|<num> to <num>)`},
	{label: "Support", pattern: `none in this stay`},
	{label: "Seen", pattern: `<time>(?:, \d+ (?:min|h|days) old)?:? [^;]+`},
	{label: "Seen", pattern: `no observation charted`},
	{label: "Gas", pattern: `(?:arterial|capillary|venous) gas [^;]+, <time>, \d+ (?:min|h|days) old`},
	{label: "Face", pattern: `nothing on the face since <time>`},
	{label: "Face", pattern: `(?:(?:mask|prongs) from <time> to <time>, then )?(?:mask|prongs|cannula)[^;]*`},
	{label: "Face", pattern: `(?:bonnet [^;,]+|no bonnet on)(?:, [A-Z]+(?: and [A-Z]+)*)?(?:, (?:in its range|head OUT OF ITS RANGE))?`},
	{label: "Tube", pattern: `none in`},
	{label: "Tube", pattern: `(?:(?:feeding|venting): )?(?:oral|nasal)[^;]*`},
	{label: "Tube", pattern: `(?:pH <num>|(?:no )?aspirate[^;]*?)(?: at <time>)?`},
	{label: "Warmth", pattern: `(?:chamber|water|humidifier) [^;]+|[A-Z ]+`},
	{label: "Warmth", pattern: `sensor passed(?: <day>)?|circuit due (?:today|<day>|[A-Z][a-z]{2})`},
	{label: "Warmth", pattern: `safety check <time>, (?:all ok|NOT OK: [^;]+)`},
	{label: "Warmth", pattern: `PROBE NOT SHIELDED from heat`, tells: []string{"setup.probeCaution=true"}},
	{label: "Warmth", pattern: `set-up steps NOT DONE: ([^;]+)`, tells: []string{"setup.notDone=$1|words"}},
	{label: "Warmth", pattern: `set-up steps not ticked: [^;]+`},
	{label: "Outlook", pattern: `(?:STABLE|WATCHER|UNSTABLE), (?:from the shift before \(<time>[^)]*\)|from days before ` +
		`\(<time>[^)]*\)|<time>(?:, \d+ (?:min|h|days) old)?)`},
	{label: "Outlook", pattern: `if <quoted>: <quoted>|call for <quoted>`},
}

var shortPatterns = compiled(shortGrammar, `(?:; |$)`)

// unlabelled are lines without a label, by how they begin, and the row that they are of.
var unlabelled = []struct {
	code  string
	begin *regexp.Regexp
	label string
}{
	{"section-support", regexp.MustCompile(`^NOT CHARTED: `), "Support"},
	{"section-support", regexp.MustCompile(`^(?:CPAP|bilevel|nasal ventilation|high flow|low flow) since `), "Support"},
	{"section-growth", regexp.MustCompile(`^(?:sex|male|female|\d+ (?:of|in)|number|born|gestation)\b`), "Who"},
	{"section-mind", regexp.MustCompile(`^CONFLICT: `), "Conflict"},
	{"section-mind", regexp.MustCompile(`^LOOK-ALIKE `), "Look-alike"},
}

// sections reads the Composition: every line of every section.
func (x *receiver) sections(t testing.TB) {
	t.Helper()
	policy := wardtest.Policy(t, ward.Policy())
	var names []string
	for _, s := range policy.Staff { // a person is told by name: back to the key
		names = append(names, s.Name, s.Key)
	}
	keys := strings.NewReplacer(names...)
	w := &faceReader{at: x.faceReader.at, zone: x.zone, called: map[string]string{}, standards: map[string]string{}, facts: facts{},
		old: map[string][][2]string{}, places: map[string]string{}, names: namer{}, seen: map[string]bool{}}
	for _, who := range x.asked.infants() {
		w.called[x.asked[who+" cot"]] = who
	}
	w.facts.put(x.who+" gaps", none) // until a line says otherwise
	w.readAt("section-mind")
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
				x.sectionLine(w, code, keys.Replace(content(p)))
			}
			x.readAt(code)
			if code == "section-skin" {
				w.skinRead(x.who)
			}
			w.readAt(code)
		}
	}
	for key, value := range w.facts { // the rest is held by what is sent beside it
		all := claims(general(key))
		missing := value == notCharted && !strings.HasPrefix(general(key), "settings.") && !strings.HasPrefix(general(key), "changes") &&
			general(key) != "handedOver.accepted"
		if len(all) == 1 && strings.HasPrefix(all[0].fhir, "section-") && !missing && x.asked.toldInFHIR(key, true) {
			x.facts.put(key, value)
			x.places[key] = w.places[key]
		}
	}
	x.faults = append(x.faults, w.faults...)
}

var (
	labelOf = regexp.MustCompile(`^([A-Z][A-Za-z-]*(?: [a-z]+)?): `)
	times   = regexp.MustCompile(`^(.*) \((\d+) times\)$`)
)

// sectionLine reads a line of a section.
func (x *receiver) sectionLine(w *faceReader, code, text string) {
	switch {
	case text == "Nothing to tell.", code == "section-corrections", code == "section-entries":
		return
	case code == "section-first":
		x.firstRow(text)
		return
	}
	label, rest := "", text
	for _, u := range unlabelled {
		if u.code == code && u.begin.MatchString(text) {
			label = u.label
		}
	}
	if m := labelOf.FindStringSubmatch(text); m != nil && label == "" {
		label, rest = m[1], text[len(m[0]):]
	}
	switch {
	case label == "Late":
		x.lateRow(rest)
	case label == "Due":
		x.dueRow(w, rest)
	case label == "In the" || strings.HasPrefix(text, "In the window, since "): // held by its figure
		return
	case label == "Support" && rest != text, slices.ContainsFunc(shortGrammar, func(s said) bool {
		return s.label == label && label != "Support" && !(label == "Tube" && code != "section-devices")
	}):
		x.shortRow(w, label, rest)
	case label == "Remarks":
		for _, one := range strings.Split(rest, "; ") {
			n := 1
			if m := times.FindStringSubmatch(one); m != nil {
				one = m[1]
				n, _ = strconv.Atoi(m[2])
			}
			for range n {
				x.remark(w, one)
			}
		}
	case label == "":
		x.fault("%s, %s: cannot be read: %.120s", x.who, code, text)
	default:
		for _, l := range parted([]line{{label, w.withoutAges(rest)}}) {
			w.line(x.who, l)
		}
	}
}

// remark reads what is remarked on, or asked about.
func (x *receiver) remark(w *faceReader, text string) {
	doubt, asked := strings.CutPrefix(text, "asked about: ")
	if !asked {
		w.line(x.who, line{"Remarks", text})
		return
	}
	for _, key := range x.asked.keys() {
		if strings.HasPrefix(key, x.who+" ") && general(key) == "doubts[].text" && x.asked[key] == doubt && x.facts[key] == "" {
			x.facts.put(key, doubt)
			return
		}
	}
	x.fault("%s: nothing asked about says %q", x.who, doubt)
}

// shortRow reads a row of the short form, item by item.
func (x *receiver) shortRow(w *faceReader, label, rest string) {
	for rest != "" {
		found, groups := -1, []string{""}
		for i, s := range shortGrammar {
			if s.label != label {
				continue
			}
			if m := shortPatterns[i].FindStringSubmatch(rest); m != nil && len(m[0]) > len(groups[0]) {
				found, groups = i, m
			}
		}
		if found < 0 {
			x.fault("%s, %s in short: cannot be read: %.120s", x.who, label, rest)
			return
		}
		for _, tell := range shortGrammar[found].tells {
			w.tell(x.who, tell, groups)
		}
		rest = rest[len(groups[0]):]
	}
}

var (
	dueState = regexp.MustCompile(`^(?:(nothing overdue)|(OVERDUE since: )|(due since: )|(put off: )|(next ))`)
	dueItem  = regexp.MustCompile(pieces.Replace(`^(?:(<short>)|(<care>)|(<quoted>))(?: (?:until |about )?(?:(<time>)|(today|<day>|` +
		`[A-Z][a-z]{2})))?(?:, |; |$)`))
	taskAhead = regexp.MustCompile(pieces.Replace(`^(<time>) (<quoted>)(?:, |; |$)`))
)

// shortThings are what falls due, as the short form says it.
var shortThings = map[string]string{"rotation": "rotation", "skin": "skin", "bonnet": "bonnet", "head": "head",
	"observations": "observations", "tube": "tube", "circuit": "circuit", "oxygen sensor": "oxygen-sensor", "water": "water",
	"humidifier": "humidifier", "safety check": "safety"}

// dueRow reads what is overdue, due and put off, and the plan ahead.
func (x *receiver) dueRow(w *faceReader, rest string) {
	state := ""
	for rest != "" {
		if m := dueState.FindStringSubmatch(rest); m != nil {
			for i, s := range []string{"none", "overdue", "due", "deferred", "next"} {
				if m[i+1] != "" {
					state = s
				}
			}
			rest = strings.TrimPrefix(rest[len(m[0]):], "; ")
			continue
		}
		if strings.HasPrefix(rest, "not known: ") { // nothing is due by the clock
			return
		}
		thing, care, text, at, on := "", "", "", "", ""
		if m := taskAhead.FindStringSubmatch(rest); m != nil && state == "next" {
			at, text, rest = m[1], m[2], rest[len(m[0]):]
		} else if m := dueItem.FindStringSubmatch(rest); m != nil {
			thing, care, text, at, on, rest = m[1], m[2], m[3], m[4], m[5], rest[len(m[0]):]
		} else {
			x.fault("%s, due in short: cannot be read: %.120s", x.who, rest)
			return
		}
		what, name := shortThings[thing], ""
		switch {
		case what != "":
			name = what
		case care != "":
			what, name = "care", "care "+w.filter("word", care)
		default:
			what, name = "task", "task "+w.filter("text", text)
		}
		list := "due"
		if state == "next" {
			list = "next"
		}
		item := x.who + " " + w.again(x.who, list+"[["+name+"]]") + "."
		tell := func(path, value string) {
			if value != "" {
				w.facts.put(item+path, value)
			}
		}
		if state == "next" && x.asked[item+"what"] == "" { // the first day beyond the plan
			continue
		}
		tell("what", what)
		if what == "care" {
			tell("care", w.filter("word", care))
		}
		if what == "task" {
			tell("text", w.filter("text", text))
		}
		if at != "" {
			at = w.clock(at)
		}
		switch {
		case state == "next" && what == "water" && x.asked[item+"overdueAt"] != "":
			tell("overdueAt", at)
		case state == "next":
			tell("dueAt", at)
			tell("on", x.dayAhead(w, on))
		case state == "deferred":
			tell("state", state)
			tell("until", at)
		case state == "due":
			tell("state", state)
			tell("at", at)
			tell("on", x.dayAhead(w, on))
		default:
			tell("state", state)
		}
	}
}

// dayAhead is a day as the short form says it: by its weekday in the week ahead.
func (x *receiver) dayAhead(w *faceReader, said string) string {
	switch {
	case said == "":
		return ""
	case said == "today":
		return w.at.In(w.zone).Format(time.DateOnly)
	case len(said) > 3:
		return w.day(said)
	}
	for n := 1; n < 7; n++ {
		if day := w.at.In(w.zone).AddDate(0, 0, n); day.Format("Mon") == said {
			return day.Format(time.DateOnly)
		}
	}
	x.fault("%q is no day of the week ahead", said)
	return said
}
