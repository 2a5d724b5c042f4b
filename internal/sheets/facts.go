package sheets

import (
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// factLine is a line of the sheet of facts: one fact, by its path in the JSON form.
type factLine struct {
	path   string
	value  cell
	remark string // the unit, or what else stands beside the value
	handover.Source
}

// factLines gathers the lines of one infant, or of the unit.
type factLines struct {
	clock
	list []factLine
}

// factLinesOf are all of an infant's facts: the table of facts in its order, but for
// toldLater.
func factLinesOf(s *handover.Summary, c clock) []factLine {
	f := &factLines{clock: c}
	f.facts(s, s.Facts())
	return f.list
}

// toldLater are facts that stand later than in the JSON form, each with the one
// that it stands before: how a site changed comes last of what is said of the site.
var toldLater = map[string]string{
	"sex": "age", "mother": "age", "visit": "age", "birthOrder": "age", "multiples": "age",
	"weight": "tubes", "birthWeight": "tubes",
	"change": "",
}

func (f *factLines) facts(s *handover.Summary, facts []handover.Fact) {
	var held []handover.Fact
	tellHeld := func(before string) {
		for len(held) > 0 && (before == "" || before == toldLater[held[0].Name]) {
			f.fact(s, &held[0])
			held = held[1:]
		}
	}
	for i := range facts {
		if _, later := toldLater[facts[i].Name]; later {
			held = append(held, facts[i])
			continue
		}
		tellHeld(facts[i].Name)
		f.fact(s, &facts[i])
	}
	tellHeld("")
}

// fact adds the lines of a fact: a sentence where it has one, else its value, its
// state, or a line for each of its parts.
func (f *factLines) fact(s *handover.Summary, x *handover.Fact) {
	if sentence, ok := sentences[x.Path]; ok {
		sentence(f, s, x)
		return
	}
	if x.Name == "xray" && len(x.Parts) > 0 { // a part that is nothing but where it comes from
		f.add(x.Path, yesNo(true), "", x.Parts[0].Source)
		return
	}
	if !x.Apart {
		f.plain(s, x)
	}
}

func (f *factLines) plain(s *handover.Summary, x *handover.Fact) {
	words, isList := x.Value.([]string)
	switch {
	case x.Quiet && x.Why == "" && (x.State != handover.Charted || isList && len(words) == 0):
	case x.State != handover.Charted:
		f.add(x.Path, word(stateWords(x)), x.Remark, x.Source)
	case x.Value != nil:
		f.add(x.Path, f.cell(x.Value), x.Remark, x.Source)
	case x.List:
		for i := range x.Items {
			f.facts(s, x.Items[i].Parts)
		}
	default:
		f.facts(s, x.Parts)
	}
}

// stateWords stand in place of a value.
func stateWords(x *handover.Fact) string {
	switch {
	case x.Why != "":
		return "left out: " + x.Why
	case x.State == handover.NotCharted:
		return notCharted
	}
	return doesNotApply
}

// cell shows a value as what it is.
func (f *factLines) cell(value any) cell {
	switch v := value.(type) {
	case handover.Digits:
		return text(string(v), none)
	case entry.Decimal:
		return number(v)
	case int:
		return count(v)
	case bool:
		return yesNo(v)
	case time.Time:
		return f.moment(v, doesNotApply)
	case entry.Date:
		return day(v, doesNotApply)
	case []string:
		return text(strings.Join(v, ", "), none)
	case string:
		return text(v, none)
	}
	return word(none)
}

// add adds a line; a moment has its offset for a remark, for the clock may show it
// twice.
func (f *factLines) add(path string, value cell, remark string, from handover.Source) {
	if value.show == showMoment {
		remark = "at UTC" + f.offset(value.when)
	}
	f.list = append(f.list, factLine{path, value, remark, from})
}

// text adds charted text, left out where there is none.
func (f *factLines) text(path, s string, from handover.Source) {
	if s != "" {
		f.add(path, text(s, none), "", from)
	}
}

// at adds a moment, left out where it is none.
func (f *factLines) at(path string, t time.Time, from handover.Source) {
	if !t.IsZero() {
		f.add(path, f.moment(t, doesNotApply), "", from)
	}
}
