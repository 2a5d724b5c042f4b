package page

import (
	"slices"
	"strconv"
	"strings"
)

// heading is the moment that everything is told for; in the full form also what it
// was told from, and the standards of growth.
func (v view) heading(full bool) []row {
	h := v.ward
	moment := row{Label: "Handover", Items: []item{{Text: v.full(h.At)}}}
	if !h.Known.Equal(h.At) {
		moment.add("as known " + v.full(h.Known))
	}
	moment.add(count(len(h.Infants), "infant", "infants"))
	from := row{Label: "From"}
	if h.Policy != "" {
		from.add("unit policy " + h.Policy[:min(12, len(h.Policy))])
	}
	if h.Position > 0 {
		from.add("record up to position " + strconv.Itoa(int(h.Position)))
	}
	if h.Chain != "" {
		from.add("chain " + v.chain())
	}
	if n := len(h.Late); n > 0 {
		from.add("late: " + count(n, "entry", "entries") + " that the handover before could not hold")
	}
	cited := v.citedRow()
	all := []row{moment, v.window(), from}
	if full {
		all = append(all, cited)
	}
	return slices.DeleteFunc(all, func(r row) bool { return len(r.Items) == 0 })
}

// window is since when each infant's facts are told.
func (v view) window() row {
	r := row{Label: "Window"}
	var order []string
	cots := map[string][]string{}
	for _, f := range v.ward.Infants {
		since := v.when(f.Since)
		if cots[since] == nil {
			order = append(order, since)
		}
		cots[since] = append(cots[since], said(f.Cot))
	}
	if len(order) == 1 {
		r.add("since " + order[0])
		return r
	}
	for _, since := range order {
		r.add("since " + since + " for " + strings.Join(cots[since], ", "))
	}
	return r
}

// chain is as much of the hash as is printed: 12 hex digits.
func (v view) chain() string { return v.ward.Chain[:min(12, len(v.ward.Chain))] }

// wardList is the ward in a line an infant; what must be seen first stands with it.
func (v view) wardList() (head []string, rows [][]string) {
	for _, f := range v.ward.Infants {
		rows = append(rows, []string{said(f.Cot), nameOf(f), number(f), v.mode(f)})
	}
	return []string{"Cot", "Infant", "Number", "Support"}, rows
}

// unitRows are what belongs to the whole unit: who left, notes, tasks, entries
// that arrived late for nobody who is here.
func (v view) unitRows() []row {
	left := row{Label: "Left"}
	for _, l := range v.ward.Left {
		number := prefixed("number ", said(l.MRN))
		place := joined(", ", l.To, said(l.Place))
		left.add("cot "+said(l.Cot), name(l.Restricted, l.Family, l.Given, l.Temporary), number,
			prefixed("to ", place)+" "+v.seen(l.Source))
	}
	late := row{Label: "Late"}
	for _, l := range v.ward.Late {
		if v.others[l.Infant] == nil {
			late.apart(v.lateSaid(l), "infant "+said(l.Infant))
		}
	}
	notes, tasks := v.notes(v.ward.Notes), v.tasks(v.ward.Tasks)
	notes.Label, tasks.Label = "Unit notes", "Unit tasks"
	var out []row
	for _, r := range []row{left, late, notes, tasks} {
		if len(r.Items) > 0 {
			out = append(out, r)
		}
	}
	return out
}
