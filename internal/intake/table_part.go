package intake

import (
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
			out = append(out, textField(finding.Name, one))
		case also != nil && slices.Contains(also.Words, one):
			marks = append(marks, entry.Value{Type: entry.TextValue, Text: one})
		case barrier != nil && one == strings.ToLower(barrier.Label):
			more = append(more, entry.Field{Name: barrier.Name, Value: entry.Value{Type: entry.BoolValue, Bool: true}})
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
		out = append(out, textField(note.Name, text))
	}
	return out, nil
}

// done reads a cell that says of one thing that it was done, and how: "x", "much", "left; with her mother".
func (t *table) done(m *made, k *entry.Kind, to target, header string, c cell) *entry.Issue {
	*m.field(to.field) = entry.Value{Type: entry.TextValue, Text: to.rest[0]}
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
				*m.field(f.Name) = entry.Value{Type: entry.TextValue, Text: one}
				m.cells[f.Name], taken = header, true
			}
		}
		if !taken {
			return &entry.Issue{Code: entry.CodeWord, Allowed: "x, or how: " + strings.Join(slices.Compact(allowed), ", ") +
				"; after a semicolon a text"}
		}
	}
	if text = strings.TrimSpace(text); noted && text != "" {
		*m.field("text") = entry.Value{Type: entry.TextValue, Text: text}
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
