package onetruth

import (
	"math/big"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"
)

// lines holds what the ward's page says of an infant on its line to the facts of the
// handover: who it is, what is set and which way that went, what lies on the face, and what
// is due.
func (p pages) lines(t testing.TB, truth facts) []string {
	r := p.faceReader()
	for infant := range p.infants {
		li := p.line(t, infant)
		f := func(path string) string { return truth[infant+" "+path] }
		is := func(what, got, want string) {
			if got != want {
				r.fault("%s, its line: %s is %q, want %q", infant, what, got, want)
			}
		}
		name := strings.TrimPrefix(strings.TrimSuffix(f("family")+", "+f("given"), ", "), ", ")
		switch {
		case f("restricted") != "":
			name = "name not shown"
		case name == "" && f("temporary") != "":
			name = f("temporary")
		case name == "":
			name = "no name charted"
		}
		number := "no number"
		if f("mrn") != "" {
			number = "no. " + f("mrn")
		}
		is("the cot", content(byClass(li, "cot")[0]), f("cot"))
		is("the name", content(byClass(li, "name")[0]), name)
		is("the number", content(byClass(li, "number")[0]), number)

		told := map[string]string{}
		for _, l := range lineRows(li) {
			told[l.label] = l.text
		}
		lower, upper := settingOn(truth, infant, "pressureCmH2O"), settingOn(truth, infant, "upperPressureCmH2O")
		went := trendOf(truth, infant, "pressureCmH2O")
		if upper != "" {
			lower, went = upper+" over "+lower, trendOfTwo(trendOf(truth, infant, "upperPressureCmH2O"), went)
		}
		is("the pressure", told["Pressure"], withTrend(unitOf(lower, "cmH2O"), went))
		oxygen := settingOn(truth, infant, "fio2Percent")
		is("the FiO2", told["FiO2"], withTrend(unitOf(oxygen, "%"), oxygenTrend(truth, infant, oxygen)))
		face := ""
		switch {
		case f("interface.type") != "":
			size := f("interface.size")
			if size == notCharted {
				size = ""
			}
			face = strings.Join(strings.Fields(f("interface.type")+" "+size), " ")
		case f("interface") == notCharted:
			face = "NOT CHARTED"
		}
		worn, since, _ := strings.Cut(told["On the face"], " for ")
		is("what is on the face", worn, face)
		if f("interface.type") != "" {
			off := p.at.Sub(wordsOnlyAt(f("interface.since")))
			if least, most, ok := spanOf(since); !ok || off < least || off >= most {
				r.fault("%s, its line: the interface is on for %q, by handover.json %v", infant, since, off)
			}
		}
		r.dueOn(truth, infant, li)
	}
	return r.faults
}

// lineRows are the labels of a line with all that stands beside them.
func lineRows(li *html.Node) (out []line) {
	for _, div := range find(byClass(li, "set")[0], "div") {
		out = append(out, line{content(find(div, "dt")[0]), content(find(div, "dd")[0])})
	}
	return out
}

// settingOn is a setting as a line has it, empty where it does not apply.
func settingOn(truth facts, infant, field string) string {
	if truth[infant+" settings."+field] == notCharted {
		return "NOT CHARTED"
	}
	return truth[infant+" settings."+field+".value"]
}

func unitOf(value, unit string) string {
	if value == "" || strings.HasSuffix(value, "NOT CHARTED") {
		return value
	}
	return value + " " + unit
}

func withTrend(value, trend string) string { return strings.TrimSpace(value + " " + trend) }

// trendOf is which way a setting went since it was handed over, by handover.json's changes.
func trendOf(truth facts, infant, field string) string {
	item := infant + " changes[settings." + field + "]."
	from, to := truth[item+"from"], truth[item+"to"]
	was, ok := new(big.Rat).SetString(from)
	is, ok2 := new(big.Rat).SetString(to)
	switch {
	case truth[infant+" settings."+field+".value"] == "" || to == "" || to == notCharted:
		return ""
	case from == notCharted:
		return "handed over as not charted"
	case truth[item+"why"] == "late":
		return "handed over as " + from + " (ARRIVED LATE)"
	case truth[item+"why"] == "corrected":
		return "handed over as " + from + " (CORRECTED)"
	case field != "fio2Percent" && truth[infant+" changes[support.mode].from"] != "":
		return "handed over as " + from + " on " + inMode[truth[infant+" changes[support.mode].from"]]
	case !ok || !ok2:
		return "not two numbers"
	case is.Cmp(was) > 0:
		return "▲ up from " + from
	}
	return "▼ down from " + from
}

// inMode are modes as a line says them.
var inMode = map[string]string{"cpap": "CPAP", "bilevel": "bilevel", "ventilation": "nasal ventilation", "high-flow": "high flow",
	"low-flow": "low flow"}

// trendOfTwo is that of an upper and a lower pressure, with a mark where they went one way.
func trendOfTwo(upper, lower string) string {
	apart := func(s string) (mark, words string) {
		if strings.HasPrefix(s, "▲ ") || strings.HasPrefix(s, "▼ ") {
			mark, s, _ = strings.Cut(s, " ")
		}
		return mark, s
	}
	way, high := apart(upper)
	other, low := apart(lower)
	switch {
	case high == "" && low == "":
		return ""
	case high == "":
		return strings.TrimSpace(other + " lower " + low)
	case low == "":
		return strings.TrimSpace(way + " upper " + high)
	case way != other:
		way = ""
	}
	return strings.TrimSpace(way + " upper " + high + ", lower " + low)
}

func oxygenTrend(truth facts, infant, value string) string {
	f := func(path string) string { return truth[infant+" "+path] }
	trend := trendOf(truth, infant, "fio2Percent")
	low, high := f("fio2.minPercent"), f("fio2.maxPercent")
	lowest, _ := new(big.Rat).SetString(low)
	highest, _ := new(big.Rat).SetString(high)
	switch {
	case value == "" || value == "NOT CHARTED" || low == "":
		return ""
	case lowest.Cmp(highest) != 0:
		raised := map[string]string{"0": "", "1": ", raised once", "2": ", raised twice"}
		said, ok := raised[f("fio2.rises")]
		if !ok {
			said = ", raised " + f("fio2.rises") + " times"
		}
		return strings.TrimPrefix(trend+", "+low+" to "+high+" in the window"+said, ", ")
	case trend != "":
		return trend
	case f("new") == "true" || before(toMinute(f("since")), toMinute(f("support.modeSince"))):
		return "no other charted"
	}
	return "= unchanged"
}

// spanOf is between which durations an age in words lies.
func spanOf(words string) (least, most time.Duration, ok bool) {
	m := age.FindStringSubmatch(words)
	if m == nil {
		return 0, 0, false
	}
	n, err := strconv.Atoi(m[2])
	unit := map[string]time.Duration{"min": time.Minute, "h": time.Hour, "day": 24 * time.Hour, "days": 24 * time.Hour}[m[3]]
	least = time.Duration(n) * unit
	return least, least + unit, err == nil
}

var (
	dueLine = regexp.MustCompile(pieces.Replace(`^(OVERDUE|due) (.+) since (?:(<time>)|today|(<day>))$`))
	nextOne = regexp.MustCompile(pieces.Replace(`^next (?:nothing|.*?(<time>).*|.*)$`))
)

// dueOn holds what a line says of what is due: everything overdue and due, by the moments
// that handover.json has, and after them the next moment ahead.
func (r *faceReader) dueOn(truth facts, infant string, li *html.Node) {
	want := []string{}
	for key, state := range truth {
		if !strings.HasPrefix(key, infant+" due[") || !strings.HasSuffix(key, "].state") || state == "deferred" {
			continue
		}
		item := strings.TrimSuffix(key, "state")
		said, at := "due", truth[item+"at"]
		if state == "overdue" {
			said, at = "OVERDUE", truth[item+"overdueAt"]
		}
		want = append(want, said+" "+toMinute(at))
	}
	var got []string
	facts := byClass(byClass(li, "due")[0], "fact")
	for i, one := range facts {
		said := content(one)
		if m := dueLine.FindStringSubmatch(said); m != nil {
			at := ""
			if m[3] != "" {
				at = r.near(m[3], false)
			}
			got = append(got, m[1]+" "+at)
			continue
		}
		m := nextOne.FindStringSubmatch(said)
		if m == nil || i != len(facts)-1 {
			r.fault("%s, its line: cannot be read: %s", infant, said)
			continue
		}
		if first := firstNext(truth, infant); m[1] != "" && first != "" && r.near(m[1], true) != first {
			r.fault("%s, its line: %s, want %s", infant, said, first)
		}
	}
	slices.Sort(want)
	slices.Sort(got)
	if !slices.Equal(want, got) {
		r.fault("%s, its line: due is %v, want %v", infant, got, want)
	}
}

// near is a moment as the short form tells it: within the window, or not far ahead, it
// stands without its day.
func (r *faceReader) near(words string, ahead bool) string {
	stamp := r.clock(words)
	at, err := time.Parse(minute, stamp)
	switch {
	case err != nil || len(words) > len("15:04 (second)"):
		return stamp
	case ahead && at.Before(r.at):
		at = at.In(r.zone).AddDate(0, 0, 1)
	case !ahead && at.After(r.at):
		at = at.In(r.zone).AddDate(0, 0, -1)
	}
	return at.In(r.zone).Format(minute)
}

// firstNext is the earliest moment of what comes next, where that is a moment.
func firstNext(truth facts, infant string) (first string) {
	for key, at := range truth {
		if strings.HasPrefix(key, infant+" next[") && strings.HasSuffix(key, "].dueAt") {
			item := strings.TrimSuffix(key, "dueAt")
			if over := truth[item+"overdueAt"]; truth[item+"what"] == "water" && over != "" {
				at = over // told by when it is empty
			}
			if at = toMinute(at); first == "" || before(at, first) {
				first = at
			}
		}
	}
	return first
}
