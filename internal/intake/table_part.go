package intake

import (
	"fmt"
	"slices"
	"strings"

	"cotline/handover/entry"
)

// set puts the value of a cell where its header says, or says what is wrong with the cell.
func (t *table) set(m *made, k *entry.Kind, to target, header string, c cell) *entry.Issue {
	s, ok := k.Spec(to.field)
	if !ok {
		return &entry.Issue{Code: entry.CodeUnknownField, Allowed: "no cell of it on an entry of kind " + k.Name}
	}
	at := to.field
	switch {
	case len(to.rest) == 0:
		v, fault := t.value(s, c)
		*m.field(to.field) = v
		m.cells[at] = header
		return fault
	case s.Type == entry.Word:
		return t.done(m, k, to, header, c)
	case s.Type == entry.Object:
		v, fault := t.value(partOf(s, to.rest[0]), c)
		o := m.field(to.field)
		o.Type, o.Line = entry.ObjectValue, m.value.Line
		o.Fields = append(o.Fields, entry.Field{Name: to.rest[0], Value: v})
		m.cells[at+"."+to.rest[0]] = header
		return fault
	}
	list := m.field(to.field)
	list.Type, list.Line = entry.ListValue, m.value.Line
	l := items{table: t, made: m, list: list, of: s, field: to.field}
	return l.item(to.rest, header, c)
}

func partOf(s *entry.Spec, name string) *entry.Spec {
	for i := range s.Of {
		if s.Of[i].Name == name {
			return &s.Of[i]
		}
	}
	return &entry.Spec{Name: name, Private: true}
}

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
		l.add(header, entry.Field{Name: first.Name, Value: entry.NewNumber(rest[0])},
			entry.Field{Name: second.Name, Value: v})
		return fault
	case l.of.Unique == "":
		return l.tried(header, c)
	case second.Type == entry.Flag:
		v, fault := l.table.value(second, c)
		l.add(header, entry.TextField(first.Name, rest[0]), entry.Field{Name: second.Name, Value: v})
		return fault
	case rest[0] == others:
		return l.allOthers(header, c)
	}
	fields, fault := words(l.of, c)
	l.add(header, append([]entry.Field{entry.TextField(first.Name, rest[0])}, fields...)...)
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
	l.add(header, entry.TextField(l.of.Of[0].Name, strings.TrimSpace(name)),
		entry.Field{Name: l.of.Of[1].Name, Value: entry.NewFlag(flag)})
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
			l.add(header, entry.TextField(first.Name, site), entry.TextField(second.Name, second.Words[0]))
		}
	}
	return nil
}

// others heads the one cell that says it of all sites that the row does not name.
const others = "others"

// words reads a finding and what belongs to it: "ok", or "blanching, dry, under a barrier; note".
func words(s *entry.Spec, c cell) ([]entry.Field, *entry.Issue) {
	var finding, also, barrier, note *entry.Spec
	for i := range s.Of[1:] {
		switch of := &s.Of[i+1]; {
		case of.Type == entry.Word:
			finding = of
		case of.Type == entry.List:
			also = of
		case of.Type == entry.Flag:
			barrier = of
		case of.Lines:
			note = of
		}
	}
	said, text, noted := strings.Cut(c.text, ";")
	var out, more []entry.Field
	var marks []entry.Value
	for _, one := range strings.Split(said, ",") {
		one = strings.ToLower(strings.Join(strings.Fields(one), " "))
		if one == "ok" {
			one = finding.Words[0]
		}
		switch {
		case slices.Contains(finding.Words, one) && out == nil:
			out = append(out, entry.TextField(finding.Name, one))
		case also != nil && slices.Contains(also.Words, one):
			marks = append(marks, entry.NewText(one))
		case barrier != nil && one == strings.ToLower(barrier.Label):
			more = append(more, entry.Field{Name: barrier.Name, Value: entry.NewFlag(true)})
		default:
			return out, &entry.Issue{
				Code: entry.CodeWord,
				Allowed: "ok, or one of " + strings.Join(finding.Words, ", ") + "; after a comma " +
					strings.Join(also.Words, ", ") + ", under a barrier; after a semicolon a note",
			}
		}
	}
	if out == nil {
		return out, &entry.Issue{
			Code:    entry.CodeMissing,
			Allowed: "first the finding: ok, or one of " + strings.Join(finding.Words, ", "),
		}
	}
	if marks != nil {
		out = append(out, entry.Field{Name: also.Name, Value: entry.Value{Type: entry.ListValue, List: marks}})
	}
	out = append(out, more...)
	if text = strings.TrimSpace(text); noted && text != "" {
		out = append(out, entry.TextField(note.Name, text))
	}
	return out, nil
}

// done reads a cell that says of one thing that it was done, and how: "x", "much", "left; with her mother".
func (t *table) done(m *made, k *entry.Kind, to target, header string, c cell) *entry.Issue {
	*m.field(to.field) = entry.NewText(to.rest[0])
	m.cells[to.field] = header
	said, text, noted := strings.Cut(c.text, ";")
	var allowed []string
	for _, one := range strings.Split(said, ",") {
		one = strings.ToLower(strings.TrimSpace(one))
		taken := slices.Contains([]string{"x", "yes", "done", "true"}, one)
		for i := range k.Fields {
			f := &k.Fields[i]
			if f.Type != entry.Word || f.Name == to.field {
				continue
			}
			allowed = append(allowed, f.Words...)
			if slices.Contains(f.Words, one) && !taken {
				*m.field(f.Name) = entry.NewText(one)
				m.cells[f.Name], taken = header, true
			}
		}
		if !taken {
			return &entry.Issue{Code: entry.CodeWord, Allowed: "x, or how: " + strings.Join(slices.Compact(allowed), ", ") +
				"; after a semicolon a text"}
		}
	}
	if text = strings.TrimSpace(text); noted && text != "" {
		*m.field("text") = entry.NewText(text)
		m.cells["text"] = header
	}
	return nil
}

// yes reads yes or no in the words that a sheet uses.
func yes(s string) (flag, ok bool) {
	switch strings.ToLower(strings.TrimSpace(s)) {
	case "true", "yes", "x", "ok", "done", "found", "all others intact":
		return true, true
	case "false", "no", "not ok", "not done", "not found":
		return false, true
	}
	return false, false
}
