package onetruth

import (
	"regexp"
	"strings"
)

var (
	firstLine = regexp.MustCompile(`^(!! )?(.+?)(?:, (\d{4}-\d\d-\d\dT\S+))?$`)
	lateLine  = regexp.MustCompile(`^(arrived|written) late: (.+), (\d\S+), charted: (\S+), by: ([\w.-]+)$`)
)

// firstRow reads a line of what to look at first: its text is the row's very words, by
// which it is known. The rest is what the line says.
func (x *receiver) firstRow(text string) bool {
	m := firstLine.FindStringSubmatch(text)
	if m == nil || text == "Nothing to tell." {
		return false
	}
	level := map[bool]string{true: "now", false: "know"}[m[1] != ""]
	for _, key := range x.asked.keys() {
		item, ok := strings.CutSuffix(strings.TrimPrefix(key, x.who+" "), "text")
		if !ok || general(key) != "attention[].text" || !strings.HasPrefix(key, x.who+" ") || x.asked[key] != m[2] || x.facts[key] != "" {
			continue
		}
		x.put(item+"text", m[2])
		x.put(item+"level", level)
		x.put(item+"at", m[3])
		return true
	}
	x.fault("%s: nothing to look at first says %q", x.who, m[2])
	return true
}

// lateRow reads a line of what was not known when the handover before was signed.
func (x *receiver) lateRow(text string) bool {
	m := lateLine.FindStringSubmatch(text)
	if m == nil {
		return false
	}
	for _, key := range x.asked.keys() {
		if item, ok := strings.CutSuffix(key, "text"); ok && general(key) == "late[].text" && x.asked[item+"infant"] == x.who &&
			x.asked[key] == m[2] && x.facts[key] == "" {
			for name, value := range map[string]string{"how": m[1], "text": m[2], "at": x.stamp(m[3]), "charted": x.stamp(m[4]),
				"by": m[5], "infant": x.who} {
				x.facts.put(item+name, value)
			}
			return true
		}
	}
	x.fault("%s: nothing late says %q", x.who, m[2])
	return true
}
