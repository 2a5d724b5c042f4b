package onetruth

import (
	"slices"
	"strings"
)

// oldLines are the lines that tell what is old, by the beginning of its path.
var oldLines = map[string]string{"observations": "Seen", "humidifier": "Humidifier", "skin": "Skin", "tubes": "Tube", "outlook": "Outlook"}

// first puts what lists tell as words tell it: attention is one text with its marks in
// their place, what is old stands beside its moment, and a late entry with its infant.
func (out facts) first(f facts) {
	for key := range out {
		switch path := general(key); {
		case strings.HasPrefix(path, "attention[]"), strings.HasPrefix(path, "old[]"), strings.HasPrefix(path, "doubts[]"),
			strings.HasPrefix(path, "late[]"), strings.HasPrefix(path, "safety.items[]"),
			strings.HasPrefix(path, "handedOver.accepted.") && strings.HasSuffix(path, "onfirmed") &&
				(f[key] == none || f[key] == notCharted):
			delete(out, key)
		}
	}
	old := map[string][]string{}
	for _, key := range f.keys() {
		who, _, _ := strings.Cut(key, " ")
		item := key[:strings.LastIndexAny(key, ".")+1]
		switch general(key) {
		case "old[].path":
			group, _, _ := strings.Cut(f[key], ".")
			if at, line := toMinute(f[item+"at"]), who+" old."+oldLines[group]; !slices.Contains(old[line], at) {
				old[line] = append(old[line], at)
			}
		case "doubts[].text":
			doubt := who + " doubts[" + f[key] + "]."
			out[doubt+"text"] = f[key]
			if entry := f[item+"entry"]; entry != "" {
				out[doubt+"entry"] = entry[:8]
			}
		case "safety.items[].item":
			name := strings.ReplaceAll(f[key], "-", " ")
			out[who+" safety.items["+name+"].item"] = name
			out[who+" safety.items["+name+"].ok"] = f[item+"ok"]
		case "late[].infant":
			if here := f[key]; f[here+" infant"] != "" {
				who = here
			}
			text := strings.Join(strings.Fields(f[item+"text"]), " ")
			if text == "" {
				text = strings.ReplaceAll(f[item+"kind"], "-", " ")
			}
			late := who + " late[" + f[item+"entry"][:8] + "]."
			out[late+"text"] = text
			for _, of := range []string{"how", "at", "charted", "by"} {
				out[late+of] = toMinute(f[item+of])
			}
		case "infant":
			out.ahead(f, who)
		}
	}
	for line, moments := range old {
		slices.Sort(moments)
		out[line] = strings.Join(moments, ", ")
	}
}

// ahead adds what a face tells beyond the plan: when rotation and skin check, bonnet and
// circuit fall due, however far that is.
func (out facts) ahead(f facts, who string) {
	today := f[unit+" at"][:10]
	for _, x := range []struct{ what, state, at, over, on string }{
		{"rotation", "rotation.state", "rotation.dueAt", "rotation.overdueAt", ""},
		{"skin", "skin.state", "skin.dueAt", "skin.overdueAt", ""},
		{"bonnet", "", "", "", "bonnet.dueOn"}, {"circuit", "", "", "", "setup.circuitDueOn"},
	} {
		item := who + " next[" + x.what + "]."
		if f[item+"what"] != "" {
			continue
		}
		if on := f[who+" "+x.on]; x.on != "" && on != notCharted && on > today {
			out[item+"what"], out[item+"on"] = x.what, on
		}
		if at := f[who+" "+x.at]; x.at != "" && at != "" && at != notCharted && f[who+" "+x.state] == "not-due" {
			out[item+"what"], out[item+"dueAt"] = x.what, toMinute(at)
			if over := f[who+" "+x.over]; over != "" && over != notCharted {
				out[item+"overdueAt"] = toMinute(over)
			}
		}
	}
}

// attentionSaid is an infant's attention as one text: all that needs a person now, each
// after its mark, then what is to be known.
func attentionSaid(rows []attentionRow) string {
	var now, know []string
	for _, a := range rows {
		if a.level == "now" {
			now = append(now, "!! "+a.text)
		} else {
			know = append(know, a.text)
		}
	}
	return squeezed(strings.Join(now, "; ") + " " + strings.Join(know, "; "))
}

type attentionRow struct{ level, text string }
