package onetruth

import (
	"regexp"
	"strings"
)

var lateLine = regexp.MustCompile(`^(ARRIVED|WRITTEN) LATE: (.*), of (` + clockTime + `) \(([\w.-]+), charted (` + clockTime + `)\)$`)

// firstRow reads a line of what to look at first: its text is the row's very words, by
// which it is known.
func (x *receiver) firstRow(text string) {
	text, marked := strings.CutPrefix(text, "!! ")
	level := map[bool]string{true: "now", false: "know"}[marked]
	for _, key := range x.asked.keys() {
		item, ok := strings.CutSuffix(strings.TrimPrefix(key, x.who+" "), "text")
		if !ok || general(key) != "attention[].text" || !strings.HasPrefix(key, x.who+" ") || x.facts[key] != "" ||
			strings.Join(strings.Fields(x.asked[key]), " ") != text {
			continue
		}
		x.put(item+"text", x.asked[key])
		x.put(item+"level", level)
		return
	}
	x.fault("%s: nothing to look at first says %q", x.who, text)
}

// lateRow reads a line of what was not known when the handover before was signed.
func (x *receiver) lateRow(text string) {
	m := lateLine.FindStringSubmatch(text)
	for _, key := range x.asked.keys() {
		item, ok := strings.CutSuffix(key, "text")
		if m == nil || !ok || general(key) != "late[].text" || x.asked[item+"infant"] != x.who || x.facts[key] != "" {
			continue
		}
		words := strings.Join(strings.Fields(x.asked[key]), " ")
		if words == "" {
			words = strings.ReplaceAll(x.asked[item+"kind"], "-", " ")
		}
		if words != m[2] || x.clock(m[3]) != toMinute(x.asked[item+"at"]) || x.clock(m[5]) != toMinute(x.asked[item+"charted"]) {
			continue
		}
		for name, value := range map[string]string{"how": strings.ToLower(m[1]), "text": x.asked[key], "at": x.clock(m[3]),
			"charted": x.clock(m[5]), "by": m[4], "infant": x.who} {
			if value != "" {
				x.facts.put(item+name, value)
			}
		}
		return
	}
	x.fault("%s: nothing late says %q", x.who, text)
}
