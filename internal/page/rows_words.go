package page

import (
	"strconv"
	"strings"

	"cotline/handover"
)

func (v view) cares(f *handover.Summary) row {
	r := row{Label: "Cares"}
	var before []string
	for _, c := range f.Cares {
		last := joined(", ", joined(" ", c.Side, c.State, v.seen(c.Source)), prefixed("secretions ", c.Amount),
			prefixed("look ", quoted(c.Look)), quoted(c.Text))
		if c.Window > 0 {
			r.add(plain(c.What) + " " + strconv.Itoa(c.Window) + "×, last " + last)
		} else {
			before = append(before, plain(c.What)+" "+last)
		}
	}
	r.add(prefixed("before the window: ", strings.Join(before, ", ")))
	return r
}

func (v view) alarms(f *handover.Summary) row {
	r := row{Label: "Alarms"}
	for _, a := range f.Alarms {
		var tried []string
		for _, t := range a.Tried {
			found := "not found"
			if t.Found {
				found = "FOUND"
			}
			tried = append(tried, said(t.Cause)+" "+found)
		}
		settled := "NOT SETTLED"
		if !a.SettledAt.IsZero() {
			settled = "settled " + v.when(a.SettledAt)
		}
		r.add(plain(a.About)+" "+v.seen(a.Source), prefixed("tried: ", strings.Join(tried, ", then ")),
			prefixed("done: ", quoted(a.Action)), settled)
	}
	return r
}

func (v view) outlook(f *handover.Summary) row {
	r := row{Label: "Outlook"}
	x := f.Outlook.Value
	if x == nil {
		if f.Outlook.Applies {
			r.apart("NOT CHARTED")
		}
		return r
	}
	r.add(strings.ToUpper(x.Severity), "charted by "+v.person(x.By), v.seenOf(f, "outlook", x.Source))
	for _, c := range x.IfThen {
		r.add("IF " + quoted(c.If) + " THEN " + quoted(c.Then))
	}
	r.add(prefixed("call for: ", quoted(x.CallFor)))
	return r
}

// notes stand with what is to be read out first.
func (v view) notes(notes []handover.Note) row {
	r := row{Label: "Notes"}
	for _, n := range notes {
		if n.ReadOut {
			r.apart("READ OUT: " + quoted(n.Text) + bracketed(v.byAt(n.Source)))
		}
	}
	for _, n := range notes {
		if !n.ReadOut {
			r.add(quoted(n.Text) + bracketed(v.byAt(n.Source)))
		}
	}
	return r
}

func (v view) tasks(tasks []handover.Task) row {
	r := row{Label: "Tasks"}
	for _, t := range tasks {
		due := ""
		if !t.DueAt.IsZero() {
			due = "due " + v.told(t.DueAt)
		}
		r.add(quoted(t.Text), due+bracketed(v.person(t.By)))
	}
	return r
}

func (v view) plans(f *handover.Summary) row {
	r := row{Label: "Plans"}
	for _, p := range f.Plans {
		what := dueName(handover.Due{What: p.What, Care: p.Care})
		every := "every " + p.Every
		if p.Every == "none" {
			every = "not by the clock"
		}
		until := ""
		if !p.Until.IsZero() {
			until = "until " + v.told(p.Until)
		}
		r.add(what+" "+every, until, quoted(p.Reason)+bracketed(v.byAt(p.Source)))
	}
	return r
}

func (v view) thresholds(f *handover.Summary) row {
	r := row{Label: "Unit rules"}
	var unmet []string
	for _, t := range f.Thresholds {
		if t.Met != nil && !*t.Met {
			unmet = append(unmet, said(t.Name))
			continue
		}
		met := "cannot be said, a value is missing or too old"
		if t.Met != nil {
			met = "MET"
		}
		r.put(t.Met != nil, said(t.Name)+": "+met+bracketed(said(t.Source)))
	}
	r.add(prefixed("not met: ", strings.Join(unmet, ", ")))
	return r
}

func (v view) remarks(f *handover.Summary) row {
	r := row{Label: "Remarks"}
	for _, x := range f.Doubts {
		r.add("asked about: " + said(x.Text) + bracketed(v.found(x.Entry)))
	}
	for _, x := range f.Remarks {
		r.add(said(x.Why) + bracketed(v.found(x.Entry)))
	}
	return r
}

func (v view) late(f *handover.Summary) row {
	r := row{Label: "Late"}
	for _, l := range v.ward.Late {
		if l.Infant == f.Infant {
			r.apart(v.lateSaid(l))
		}
	}
	return r
}

// lateSaid says what the handover before could not hold: written in time and come in
// after it was signed, or written only then; and what stands of it now.
func (v view) lateSaid(l handover.Late) string {
	how := "ARRIVED LATE: "
	if l.How == "written" {
		how = "WRITTEN LATE: "
	}
	what := said(l.Text)
	if what == "" {
		what = plain(l.Kind)
	}
	return how + what + ", of " + v.told(l.At) +
		bracketed(joined(", ", said(v.person(l.By)), "charted "+v.when(l.Charted), v.found(l.Entry)))
}

func (v view) gaps(f *handover.Summary) row {
	r := row{Label: "Not charted"}
	told := ""
	for _, path := range f.Gaps {
		if words := pathSaid(path); words != told { // the four of a skin never seen are said once
			r.add(words)
			told = words
		}
	}
	return r
}

func (v view) notComputed(f *handover.Summary) row {
	r := row{Label: "Not computed"}
	for _, x := range f.NotComputed {
		r.add(pathSaid(x.Path) + ": " + lacksSaid(x))
	}
	return r
}

// lacksSaid is all that a figure lacks.
func lacksSaid(x handover.NotComputed) string {
	var lacks []string
	for _, lack := range strings.Split(x.Why, "; ") {
		path, why, found := strings.Cut(lack, ": ")
		if found {
			lack = lackSaid(path, why)
		}
		lacks = append(lacks, lack)
	}
	return strings.Join(lacks, " and ")
}

// lackSaid is what a figure lacks: of "head: never measured" head never measured, of
// "settings.flowLMin: none charted" no flow charted.
func lackSaid(path, why string) string {
	thing := pathSaid(path)
	if noun, ok := lackNouns[path]; ok {
		thing = noun
	}
	first, rest, _ := strings.Cut(why, " ")
	switch first {
	case "none":
		return "no " + thing + " " + rest
	case "not", "never":
		return thing + " " + why
	}
	return thing + ": " + why
}

// lackNouns are things whose path is said as a state.
var lackNouns = map[string]string{"setup.circuit": "circuit", "humidifier.waterMl": "amount of water"}

// handed is the latest handover of the stay, what was confirmed of it and read back.
func (v view) handed(f *handover.Summary) row {
	r := row{Label: "Handed over"}
	h := f.HandedOver
	if h == nil {
		return r
	}
	r.add("by "+v.person(h.By)+" to "+v.person(h.To)+" "+v.told(h.At), "as of "+v.when(h.AsOf))
	a := h.Accepted
	if a == nil {
		r.apart("NOT ACCEPTED")
		return r
	}
	r.add("accepted by " + v.person(a.By) + " " + v.told(a.At))
	r.add(prefixed("confirmed: ", Confirmed(a.Confirmed)))
	r.add(prefixed("not confirmed: ", Confirmed(a.NotConfirmed)))
	if a.ReadBack != nil {
		r.add(map[bool]string{true: "read back", false: "NOT read back"}[*a.ReadBack])
	}
	if !v.elsewhere { // it may name another infant
		r.add(prefixed("asked: ", quoted(a.Asked)))
	}
	return r
}

// told is who was told what in the window, and what was said back.
func (v view) toldOf(f *handover.Summary) row {
	r := row{Label: "Told"}
	for _, x := range f.Told {
		r.add(quoted(x.Whom)+": "+quoted(x.About), prefixed("answer ", quoted(x.Answer)), v.byAt(x.Source))
	}
	return r
}

// safety is the latest check at the cot.
func (v view) safety(f *handover.Summary) row {
	r := row{Label: "Safety"}
	x := f.Safety
	if x == nil {
		return r
	}
	var items []string
	for _, i := range x.Items {
		items = append(items, said(plain(i.Item))+map[bool]string{true: " ok", false: " NOT OK"}[i.OK])
	}
	r.add("check "+v.byAt(x.Source), strings.Join(items, ", "))
	return r
}

// none names the lists in which nothing was charted, on one line.
func (v view) none(f *handover.Summary) row {
	r := row{Label: "None charted"}
	for _, list := range []struct {
		name string
		n    int
	}{{"observations", len(f.Observations)}, {"cares", len(f.Cares)}, {"alarms", len(f.Alarms)}, {"notes", len(f.Notes)},
		{"tasks", len(f.Tasks)}, {"plans", len(f.Plans)}} {
		if list.n == 0 {
			r.add(list.name)
		}
	}
	if f.Outlook.Value == nil {
		r.add("outlook")
	}
	return r
}

// Confirmed are things that are confirmed at a handover, in words.
func Confirmed(words []string) string {
	out := make([]string, len(words))
	for i, w := range words {
		if out[i] = w; w == "fio2" {
			out[i] = "FiO2"
		}
	}
	return strings.Join(out, ", ")
}
