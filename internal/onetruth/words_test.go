package onetruth

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// A face in words is read by its labels: every item of every line must be one
// that the grammar knows, so that nothing stands there unread.

// labelled is one part of a face: an infant's, or the unit's.
type labelled struct {
	called string // the heading; empty: the unit
	rows   []line
}

type line struct{ label, text string }

// said is an item as it stands after a label, and the facts that it tells: each
// "path=value" with $1, $2 … of the pattern. $1|word is read as a filter says;
// "?2 …" is told only where the group is there, "!2 …" only where it is not.
type said struct {
	label, pattern string
	tells          []string
	then           func(r *faceReader, who string, groups []string)
}

// pieces stand in patterns.
var pieces = strings.NewReplacer(
	"<num>", `-?\d+(?:\.\d+)?`,
	"<time>", clockTime,
	"<src>", clockTime+hands,
	"<hands>", hands,
	"<of>", `(?: of (`+clockTime+hands+`)|(`+hands+`))`,
	"<day>", `(?:[A-Z][a-z]{2} )?\d{1,2} [A-Z][a-z]{2}(?: \d{4})?`,
	"<quoted>", `“(?s:.*?)”`,
	"<site>", `septum|columella|naris left|naris right|bridge|philtrum|cheek left|cheek right|forehead|ear left|ear right|occiput`,
	"<finding>", `intact|blanching|stage 1|stage 2|mucosal|stage 3|stage 4|unstageable|deep`,
	"<setting>", `pressure|upper pressure|rate|inspiratory time|FiO2|flow|SpO2 target low|SpO2 target high|lower bound of the SpO2 `+
		`target|upper bound of the SpO2 target`,
	"<thing>", `rotation|skin check|bonnet and head measure|head measure|observations|tube check|circuit change|oxygen sensor check|`+
		`water|humidifier check|safety check`,
	"<care>", `nasal suction|oral suction|mouth care|position|skin to skin|barrier|chin strap|parents|eye care`,
	"<short>", `rotation|skin|bonnet|head|observations|tube|circuit|oxygen sensor|water|humidifier|safety check`,
	"<late>", `(?: \((ARRIVED LATE|CORRECTED)\))?`,
	"<point>", `<num> % read <num> %(?: OUT OF TOLERANCE)?(?: \(in humidified gas a sound sensor reads about <num> %: check on dry `+
		`gas\))?(?: <time>)?`,
	"<z>", `(?:, z (-?\d+\.\d\d)(?:, centile (\d+\.\d))? \[(\d+)\]|, no z-score: (reading unreliable|no standard for this sex, or it `+
		`is not charted|gestation not known to the day|age outside the standard))?`,
)

const (
	clockTime = `(?:\d{1,2} [A-Z][a-z]{2} (?:\d{4} )?)?\d\d:\d\d(?: \((?:first|second)\))?`
	hands     = `(?: \((?:charted ` + clockTime + `)?(?:, )?(?:corrected by [\w.-]+ ` + clockTime + `)?\))?`
)

// patterns are the grammar compiled; each matches to the end of its item.
var patterns = compiled(grammar, `(?:; | |$)`)

func compiled(of []said, end string) []*regexp.Regexp {
	var out []*regexp.Regexp
	for _, s := range of {
		e := end
		if s.label == "Cares" { // those before the window are listed with commas
			e = `(?:; |, |$)`
		}
		out = append(out, regexp.MustCompile(`^(?:`+pieces.Replace(pieces.Replace(s.pattern))+`)`+e))
	}
	return out
}

// faceReader takes the facts out of one face.
type faceReader struct {
	at        time.Time
	zone      *time.Location
	called    map[string]string // heading to infant
	standards map[string]string // of growth, by number
	tube      string            // the one told last
	seen      map[string]bool   // sites told, of the infant told last
	names     namer
	facts     facts
	old       map[string][][2]string // by heading: line and moment
	places    map[string]string      // the label, sheet or resource that each fact was read at first
	faults    []string
}

func (f faces) faceReader() *faceReader {
	return &faceReader{at: f.at, zone: f.zone, called: map[string]string{}, standards: map[string]string{}, facts: facts{},
		old:    map[string][][2]string{},
		places: map[string]string{}}
}

func (r *faceReader) fault(format string, args ...any) {
	r.faults = append(r.faults, fmt.Sprintf(format, args...))
}

// readAt notes the place at which each fact that is new was read.
func (r *faceReader) readAt(place string) {
	for key := range r.facts {
		if _, ok := r.places[key]; !ok {
			r.places[key] = place
		}
	}
}

// misplaced lists facts that were read at another place than their row says.
func (r *faceReader) misplaced(column func(row) string) (out []string) {
	for key, place := range r.places {
		all := claims(general(key))
		if len(all) != 1 || r.facts[key] == "" {
			continue
		}
		if where := column(all[0]); where != "*" && !strings.HasPrefix(where, "–") && !slices.Contains(strings.Split(where, "|"), place) {
			out = append(out, key+" was read at “"+place+"”, not at “"+where+"” as the table says")
		}
	}
	slices.Sort(out)
	return out
}

var recordKey = regexp.MustCompile(`record key ([\w.-]+)`)

// read takes the facts out of all parts.
func (r *faceReader) read(parts []labelled) {
	for _, p := range parts {
		if p.called == "" {
			continue
		}
		m := []string{"", "?"}
		for _, l := range p.rows {
			if found := recordKey.FindStringSubmatch(l.text); l.label == "Who" && found != nil {
				m = found
			}
		}
		if m[1] == "?" {
			r.fault("%s: no record key", p.called)
		}
		if r.called[p.called] != "" {
			r.fault("%s stands twice", p.called)
		}
		r.called[p.called] = m[1]
	}
	for _, p := range parts {
		who := unit
		if p.called != "" {
			who = r.called[p.called]
			p.rows = append([]line{{"Called", p.called}}, p.rows...)
			r.facts.put(who+" gaps", none) // until a line says otherwise
			r.readAt("Not charted")
		}
		r.names, r.seen = namer{}, map[string]bool{}
		for _, l := range parted(p.rows) {
			r.line(who, l)
			r.readAt(l.label)
		}
		r.tellOld(who, p.called)
		r.skinRead(who)
		r.readAt("Skin")
	}
}

// skinRead adds what a person gathers from the line of skin: which sites were intact
// (a count stands for all that are not named), which were not seen since support
// began, and when the last look was.
func (r *faceReader) skinRead(who string) {
	n, counted := r.facts[who+" skin.intact"]
	delete(r.facts, who+" skin.intact")
	never := strings.Split(r.facts[who+" skin.never"], ", ")
	delete(r.facts, who+" skin.never")
	unseen := append(strings.Split(r.facts[who+" skin.unseen"], ", "), never...)
	delete(r.facts, who+" skin.unseen")
	intact := 0
	var unseenInOrder []string
	for _, site := range sitesInOrder {
		item := who + " skin.sites[" + site + "]."
		if counted && r.facts[item+"site"] == "" && !slices.Contains(never, site) {
			intact++
			r.facts.put(item+"site", site)
			r.facts.put(item+"finding", "intact")
			r.facts.put(item+"also", none)
		}
		if slices.Contains(unseen, site) {
			unseenInOrder = append(unseenInOrder, site)
		}
	}
	if counted && strconv.Itoa(intact) != n {
		r.fault("%s: %s sites intact, but %d are left", who, n, intact)
	}
	if len(unseenInOrder) > 0 && r.facts[who+" support.state"] == "on" {
		r.facts.put(who+" skin.unseen", strings.Join(unseenInOrder, ", "))
	}
	last := ""
	for key, value := range r.facts {
		if path := general(key); strings.HasPrefix(key, who+" ") && (path == "skin.sites[].at" || path == "skin.intactTo") &&
			(last == "" || before(last, value)) {
			last = value
		}
	}
	if last != "" {
		r.facts.put(who+" skin.checkedAt", last)
	}
}

// second are rows that may share a line with another, and what they begin with.
var second = map[string]struct{ label, lead string }{
	"Seen": {"Episodes", "episodes: "}, "Growth": {"Bonnet", "bonnet: "}, "Humidifier": {"Set-up", "set-up: "},
	"Unit rules": {"None charted", "none charted: "},
}

func parted(rows []line) (out []line) {
	for _, l := range rows {
		if s, ok := second[l.label]; ok {
			if before, after, found := strings.Cut(l.text, s.lead); found {
				out = append(out, line{l.label, strings.TrimRight(strings.TrimSuffix(before, "!! "), "; ")}, line{s.label, after})
				continue
			}
		}
		out = append(out, l)
	}
	return out
}

// line reads a line item by item, each time by the pattern that takes the most.
func (r *faceReader) line(who string, l line) {
	if l.label == "" {
		if words := squeezed(l.text); words != "" {
			r.facts.put(who+" attention.words", words)
		}
		return
	}
	rest := spread(l)
	for rest = strings.TrimPrefix(rest, "!! "); rest != ""; rest = strings.TrimPrefix(rest, "!! ") {
		found, groups := -1, []string{""}
		for i, s := range grammar {
			if s.label != l.label {
				continue
			}
			if m := patterns[i].FindStringSubmatch(rest); m != nil && len(m[0]) > len(groups[0]) {
				found, groups = i, m
			}
		}
		if found < 0 {
			r.fault("%s, %s: cannot be read: %.120s", who, l.label, rest)
			return
		}
		for _, tell := range grammar[found].tells {
			r.tell(who, tell, groups)
		}
		if then := grammar[found].then; then != nil {
			then(r, who, groups)
		}
		rest = rest[len(groups[0]):]
	}
}

var (
	group      = regexp.MustCompile(`\$(\d+)(?:\|(\w+))?`)
	condition  = regexp.MustCompile(`^([?!])(\d+) `)
	valuesSet  = regexp.MustCompile(pieces.Replace(`((?:(?:<setting>|SpO2 target) [^;]*?)) set (<src>)`))
	valuesSeen = regexp.MustCompile(pieces.Replace(`(?:LAST RECORDED )?([A-Z][^;]*?|[a-z][^;]*?), (<src>)(; | |$)`))
)

// spread repeats a moment that several values share, as in "a, b set 10:20", for each.
func spread(l line) string {
	split := func(values, between, moment string) string {
		var out []string
		for _, v := range strings.Split(values, ", ") {
			out = append(out, v+between+moment)
		}
		return strings.Join(out, "; ")
	}
	switch l.label {
	case "Support", "Set":
		return valuesSet.ReplaceAllStringFunc(l.text, func(s string) string {
			m := valuesSet.FindStringSubmatch(s)
			return split(m[1], " set ", m[2])
		})
	case "Seen":
		return valuesSeen.ReplaceAllStringFunc(l.text, func(s string) string {
			m := valuesSeen.FindStringSubmatch(s)
			return split(m[1], ", ", m[2]) + m[3]
		})
	}
	return l.text
}

// tell adds the fact of one template; path/at=$2 is a moment and what changed hands.
func (r *faceReader) tell(who, tell string, groups []string) {
	if m := condition.FindStringSubmatch(tell); m != nil {
		n, _ := strconv.Atoi(m[2])
		if (groups[n] != "") != (m[1] == "?") {
			return
		}
		tell = tell[len(m[0]):]
	}
	fill := func(s string) string {
		return group.ReplaceAllStringFunc(s, func(ref string) string {
			m := group.FindStringSubmatch(ref)
			n, _ := strconv.Atoi(m[1])
			return r.filter(m[2], groups[n])
		})
	}
	path, value, _ := strings.Cut(tell, "=")
	base, key, moment := strings.Cut(path, "/")
	base = who + " " + r.again(who, fill(base))
	if value = fill(value); moment {
		r.source(base, key, value)
	} else if value != "" {
		r.facts.put(base, value)
	}
}
