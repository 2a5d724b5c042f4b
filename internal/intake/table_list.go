package intake

import (
	"fmt"
	"slices"
	"strings"

	"cotline/handover/entry"
)

// items is a list that the cells of a row fill.
type items struct {
	table *table
	made  *made
	list  *entry.Value
	of    *entry.Spec
	field string
}

// add appends an item that stands under a header.
func (l *items) add(header string, fields ...entry.Field) {
	at := fmt.Sprintf("%s[%d]", l.field, len(l.list.List))
	l.list.List = append(l.list.List, entry.Value{Type: entry.ObjectValue, Line: l.made.value.Line, Fields: fields})
	l.made.cells[at] = header
}

// item takes a cell that is an item of the list, or part of one.
func (l *items) item(rest []string, header string, c cell) *entry.Issue {
	first, second := &l.of.Of[0], &l.of.Of[1]
	switch {
	case len(rest) == 2 && l.of.Unique != "":
		return l.partNamed(rest[0], rest[1], c)
	case len(rest) == 2:
		return l.partNumbered(rest[0], rest[1], header, c)
	case first.Type == entry.Number:
		v, fault := l.table.value(second, c)
		l.add(header, entry.Field{Name: first.Name, Value: entry.Value{Type: entry.NumberValue, Text: rest[0]}},
			entry.Field{Name: second.Name, Value: v})
		return fault
	case l.of.Unique == "":
		return l.tried(header, c)
	case second.Type == entry.Flag:
		v, fault := l.table.value(second, c)
		l.add(header, textField(first.Name, rest[0]), entry.Field{Name: second.Name, Value: v})
		return fault
	case rest[0] == others:
		return l.allOthers(header, c)
	}
	fields, fault := words(l.of, c)
	l.add(header, append([]entry.Field{textField(first.Name, rest[0])}, fields...)...)
	return fault
}

// partNamed adds a field to the item of a name, which another cell of the row began.
func (l *items) partNamed(name, field string, c cell) *entry.Issue {
	v, fault := l.table.value(partOf(l.of, field), c)
	for i := range l.list.List {
		if l.list.List[i].Fields[0].Value.Text == name {
			l.list.List[i].Fields = append(l.list.List[i].Fields, entry.Field{Name: field, Value: v})
			return fault
		}
	}
	return &entry.Issue{Code: entry.CodeMissing, Allowed: "the " + l.of.Of[1].Name + " of " + name + " too"}
}

// partNumbered adds a field to the item of a number: the cells of one stand beside each other.
func (l *items) partNumbered(number, field, header string, c cell) *entry.Issue {
	v, fault := l.table.value(partOf(l.of, field), c)
	at := fmt.Sprintf("%s #%s", l.field, number)
	if l.made.cells[at] == "" {
		l.add(header)
	}
	l.made.cells[at] = header
	last := &l.list.List[len(l.list.List)-1]
	last.Fields = append(last.Fields, entry.Field{Name: field, Value: v})
	return fault
}

// tried adds what a cell itself names, and whether it was it: "tubing off: found".
func (l *items) tried(header string, c cell) *entry.Issue {
	name, state, both := strings.Cut(c.text, ":")
	flag, known := yes(state)
	if !both || !known || c.holds != holdsText {
		return &entry.Issue{
			Code:    entry.CodeFormat,
			Allowed: "what was tried and whether it was it, as: tubing off: found, or: mouth open: not found",
		}
	}
	l.add(header, textField(l.of.Of[0].Name, strings.TrimSpace(name)),
		entry.Field{Name: l.of.Of[1].Name, Value: entry.Value{Type: entry.BoolValue, Bool: flag}})
	return nil
}

// allOthers adds every item that the row does not name, with the first of its words.
func (l *items) allOthers(header string, c cell) *entry.Issue {
	flag, known := yes(c.text)
	if !known {
		return &entry.Issue{Code: entry.CodeFormat, Allowed: "yes, or empty"}
	}
	first, second := &l.of.Of[0], &l.of.Of[1]
	for _, site := range first.Words {
		if flag && !slices.ContainsFunc(l.list.List, func(v entry.Value) bool { return v.Fields[0].Value.Text == site }) {
			l.add(header, textField(first.Name, site), textField(second.Name, second.Words[0]))
		}
	}
	return nil
}

func textField(name, text string) entry.Field {
	return entry.Field{Name: name, Value: entry.Value{Type: entry.TextValue, Text: text}}
}

// others heads the one cell that says it of all sites that the row does not name.
const others = "others"
