package onetruth

import "strings"

// task reads a charted task or plan.
func (x *receiver) task(base, entry string) {
	for _, r := range x.by["Task"] {
		id, role := r.entry()
		if id != entry || role != "task" && role != "plan" || !strings.HasPrefix(base, role+"s[") {
			continue
		}
		x.put(base+".entry", id)
		x.put(base+".by", told(r, "requester", "identifier", "value"))
		charted := told(r, "authoredOn")
		if role == "task" {
			x.put(base+".task", id)
			x.put(base+".text", told(r, "description"))
			x.put(base+".dueAt", told(r, "restriction", "period", "start"))
			if x.asked[x.who+" "+base+".charted"] != "" { // it has but one moment: when it was written down
				x.put(base+".charted", charted)
			}
			continue
		}
		at := told(r, "restriction", "period", "start")
		x.put(base+".at", at)
		if moment(charted).Sub(moment(at)).Minutes() > 2 {
			x.put(base+".charted", charted)
		}
		x.put(base+".until", told(r, "restriction", "period", "end"))
		what := strings.TrimPrefix(told(r, "code", "coding", 1, "code"), "due-")
		x.put(base+".what", what)
		x.put(base+".care", strings.TrimPrefix(careOf(told(r, "code", "coding", 2, "code"), planned(told(r, "code", "text"))), "care-"))
		every, reason, _ := strings.Cut(strings.TrimPrefix(told(r, "description"), "every "), ": ")
		x.put(base+".every", every)
		x.put(base+".reason", reason)
	}
}

// planned is what a plan is of: behind "Plan: ".
func planned(text string) string {
	_, of, _ := strings.Cut(text, ": ")
	return of
}

// due reads the Tasks of what is due, each for the item of its name.
func (x *receiver) due() {
	for _, r := range x.by["Task"] {
		item := "due[" + strings.TrimPrefix(r.code(), "due-") + "]."
		if care := told(r, "code", "coding", 1, "code"); care != "" {
			item = "due[care " + strings.TrimPrefix(careOf(care, told(r, "code", "text")), "care-") + "]."
		}
		if id, role := r.entry(); role == "task" {
			item = ""
			for _, key := range x.asked.keys() {
				if x.asked[key] == id && strings.HasPrefix(key, x.who+" due[") {
					item = strings.TrimSuffix(strings.TrimPrefix(key, x.who+" "), "task")
					x.put(item+"task", id)
				}
			}
		} else if role != "" {
			item = ""
		}
		if item == "" || told(r, "status") != "requested" {
			continue
		}
		x.put(item+"overdueAt", told(r, "restriction", "period", "end"))
		if _, every, ok := strings.Cut(", "+told(r, "description"), ", every "); ok {
			x.put(item+"every", every)
		}
		if _, reason, deferred := strings.Cut(told(r, "statusReason", "text"), ": "); deferred {
			x.put(item+"why", reason)
		} else if !strings.HasPrefix(item, "due[task ") { // whose description is its text
			why, _, _ := strings.Cut(told(r, "description"), "every ")
			x.put(item+"why", strings.TrimSuffix(why, ", "))
		}
	}
}
