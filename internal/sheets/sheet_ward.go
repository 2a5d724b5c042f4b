package sheets

import (
	"fmt"
	"slices"
	"strings"

	"cotline/handover"
)

// wardLine is a line of the first sheet.
type wardLine struct {
	what  string
	who   cell
	value cell
	when  cell
	by    string
}

// wardSheet is what a nurse or a clerk asks before anything else: which unit and moment, who needs somebody, what is to be
// read out, who left, what the unit has to do, and what each sheet is for.
func wardSheet(h *handover.Handover, sheets []sheet) sheet {
	c := clock{h.Zone}
	rows := wardLines(h, c)
	for _, s := range sheets {
		rows = append(rows, wardLine{what: "Sheet " + s.name, value: word(purposes[s.name]).at(&place{s.name, ""})})
	}
	unset := func(c cell) cell {
		if c == (cell{}) {
			return word(noPart)
		}
		return c
	}
	columns := []column[wardLine]{
		{"What", 22, func(l wardLine) cell { return word(l.what) }},
		{"Infant", 34, func(l wardLine) cell { return unset(l.who) }},
		{"What is told", 76, func(l wardLine) cell { return unset(l.value) }},
	}
	columns = append(columns, momentColumns(c, "When", func(l wardLine) cell { return unset(l.when) })...)
	columns = append(columns, column[wardLine]{"By", 12, func(l wardLine) cell { return text(l.by, noPart) }})
	s := table(wardName, "", slices.Values(rows), func(l wardLine) string { return "" }, columns...)
	s.keep, s.printed = 1, len(columns)
	return s
}

func wardLines(h *handover.Handover, c clock) []wardLine {
	var out []wardLine
	add := func(what string, value cell) { out = append(out, wardLine{what: what, value: value}) }
	for _, f := range h.Findings {
		add("WARNING: the record is damaged", text(f, none))
	}
	add("Unit", text(h.Unit, notCharted))
	out = append(out, wardLine{what: "Moment of this handover", value: word(h.Zone.String() + ", UTC" + c.offset(h.At)),
		when: c.moment(h.At, none)})
	add("Caution", word(longCaution))
	add("Infants", word(wardCount(h)))
	for _, s := range h.Infants {
		if words := nowWords(s); words != "" {
			out = append(out, wardLine{what: "Needs somebody now", who: who(s).back(s), value: text(words, none)})
		}
	}
	from := func(what string, infant cell, value cell, from handover.Source) {
		out = append(out, wardLine{what, infant, value, c.moment(from.At, notCharted).linked(from.Entry), from.By})
	}
	notes := func(infant cell, all []handover.Note, readOut bool) {
		for _, n := range all {
			if what := map[bool]string{true: "READ OUT", false: "Note of the unit"}[n.ReadOut]; n.ReadOut == readOut {
				from(what, infant, text(n.Text, none), n.Source)
			}
		}
	}
	unit := word(wholeUnit)
	notes(unit, h.Notes, true)
	for _, s := range h.Infants {
		notes(who(s).back(s), s.Notes, true)
	}
	notes(unit, h.Notes, false)
	for _, l := range h.Left {
		gone := &handover.Summary{Cot: l.Cot, MRN: l.MRN, Temporary: l.Temporary, Family: l.Family, Given: l.Given,
			Restricted: l.Restricted}
		from("Left the ward", who(gone), text(strings.TrimSuffix("to "+l.To+": "+l.Place, ": "), notCharted), l.Source)
	}
	for _, t := range h.Tasks {
		from("Task of the unit", unit, text(t.Text, none), t.Source)
		if !t.DueAt.IsZero() {
			out = append(
				out,
				wardLine{what: "Task of the unit: due", who: unit, value: text(t.Text, none), when: c.moment(t.DueAt, none)},
			)
		}
	}
	for _, l := range h.Late {
		s := summaryOf(h, l.Infant)
		from(lateWords(l), who(s).back(s), text(l.Text, l.Kind),
			handover.Source{At: l.At, By: l.By, Entry: l.Entry})
	}
	return out
}

// lateWords are two different things.
func lateWords(l handover.Late) string {
	if l.How == "written" {
		return "WRITTEN LATE"
	}
	return "ARRIVED LATE"
}

func wardCount(h *handover.Handover) string {
	of := map[string]int{}
	now := 0
	for _, s := range h.Infants {
		switch o := s.Outlook; {
		case o.Value != nil:
			of[o.Value.Severity]++
		case o.Applies:
			of[notCharted]++
		}
		if nowWords(s) != "" {
			now++
		}
	}
	out := fmt.Sprintf("%d on the ward, %d of whom need somebody now", len(h.Infants), now)
	for _, severity := range []string{"unstable", "watcher", "stable"} {
		out += fmt.Sprintf("; %s: %d", severity, of[severity])
	}
	if n := of[notCharted]; n > 0 {
		out += fmt.Sprintf("; outlook not charted: %d", n)
	}
	return out
}

// NowFirst is a handover in which infants who need somebody now stand first, else as they stood.
func NowFirst(h *handover.Handover) *handover.Handover {
	out := *h
	out.Infants = slices.Clone(h.Infants)
	calm := func(s *handover.Summary) int {
		if nowWords(s) != "" {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(out.Infants, func(a, b *handover.Summary) int { return calm(a) - calm(b) })
	return &out
}

// who names an infant by cot, number and name.
func who(s *handover.Summary) cell {
	if s == unitSummary {
		return word(wholeUnit)
	}
	number := numberOrLabel(s.MRN, s.Temporary)
	return text(strings.Join([]string{s.Cot, number, name(s).text}, " · "), notCharted)
}

// purposes are what each sheet is for.
var purposes = map[string]string{
	handoverName:   "the ward on a page: an infant a row, what to look at first, what is set",
	moreName:       "the rest of each infant's row",
	"Due":          "what to do: overdue, due, what comes next, put off",
	"Changes":      "what is otherwise than at the last handover",
	factsName:      "every fact of the handover, with the entry it came from",
	"Settings":     "what was set, entry by entry",
	"Observations": "what was seen, entry by entry",
	wearsName:      "from when to when mask or prongs were on, and for how many hours",
	skinName:       "each skin check in a row, the sites beside each other",
	"Tubes":        "gastric tubes, entry by entry",
	"Growth":       "weight, head and bonnet",
	"Devices":      "support, humidifier, circuit, sensor and seal",
	"Episodes":     "apnoea, bradycardia, desaturation",
	chartsName:     "pressure, FiO2, SpO2 and head of each infant as pictures",
	chartDataName:  "the points that the pictures are drawn from",
	entriesName:    "the record: every entry as it was charted",
	aboutName:      "where the figures come from, what the words mean, the policy",
}
