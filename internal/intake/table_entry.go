package intake

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"cotline/handover/entry"
)

// entry takes a row below the headers.
func (t *table) entry(cells []cell) {
	size := 0
	for _, c := range cells {
		size += len(c.text)
		if t.headOf(c) == "" && !t.strays[c.column] {
			t.strays[c.column] = true
			t.add("", entry.CodeUnknownField, "column "+letters(c.column), "a header above what the column holds")
		}
	}
	cells = slices.DeleteFunc(cells, func(c cell) bool { h := t.headOf(c); return h == "" || h == ignored })
	prepared := func(c cell) bool { return slices.Contains([]string{"id", "kind", written}, t.headOf(c)) }
	switch {
	case !slices.ContainsFunc(cells, func(c cell) bool { return !prepared(c) }):
		t.round.hold(t, cells)
	case size > mostText:
		t.unread(entry.CodeLineTooLong, "", "at most 1 MiB a row")
	case t.round.is:
		t.roundRow(cells)
	default:
		kind := t.kindOf(cells)
		m := t.begin()
		faults := t.gather(m, kind, cells)
		if t.Mapping != nil {
			m.value.Fields = append(m.value.Fields, t.Mapping.fixed...)
		}
		t.decode(m, faults)
	}
}

// gather puts the cells of one entry together, the one that says something of all others last.
func (t *table) gather(m *made, kind *entry.Kind, cells []cell) (faults []entry.Issue) {
	last := func(c cell) int {
		if strings.HasSuffix(t.headOf(c), "."+others) {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(cells, func(a, b cell) int { return last(a) - last(b) })
	for _, c := range cells {
		header := t.headOf(c)
		var fault *entry.Issue
		if to, ok := t.targets[c.column]; ok && kind != nil {
			fault = t.set(m, kind, to, header, c)
			if fault != nil {
				fault.Path = header
			}
		} else {
			var value entry.Value
			value, fault = t.value(specOf(kind, header), t.numbered(header, c))
			m.value.Fields = append(m.value.Fields, entry.Field{Name: header, Value: value})
			if fault != nil {
				fault.Path = joined(header, fault.Path)
			}
		}
		if fault != nil {
			faults = append(faults, *fault)
		}
	}
	return faults
}

// numbered makes an entry's id of its row's own number, where the map names the source of the numbers.
func (t *table) numbered(field string, c cell) cell {
	if field == "id" && t.Mapping != nil && t.Mapping.source != "" && (c.holds == holdsText || c.holds == holdsNumber) {
		return cell{column: c.column, holds: holdsText, text: t.Mapping.id(strings.TrimSpace(c.text))}
	}
	return c
}

// decode adds an entry, or its faults. What is wrong with a cell is not told again.
func (t *table) decode(m *made, faults []entry.Issue) {
	e, issues := entry.Decode(m.value)
	blamed := map[string]bool{}
	for _, f := range faults {
		blamed[root(f.Path)] = true
		if to, ok := targetOf(f.Path); ok {
			blamed[to.field] = true
		}
	}
	for _, i := range issues {
		if i.Path == "id" && i.Code == entry.CodeMissing {
			i.Allowed = needsID
		}
		if !blamed[root(i.Path)] {
			faults = append(faults, m.told(i))
		}
	}
	for i := range faults {
		faults[i].Line = m.value.Line
	}
	t.offer.Issues = append(t.offer.Issues, faults...)
	if len(faults) == 0 {
		t.offer.Entries = append(t.offer.Entries, &e)
	} else {
		t.offer.Faulty = append(t.offer.Faulty, &e)
	}
}

// told is a fault of an entry by the header of the cell that it came from.
func (m *made) told(i entry.Issue) entry.Issue {
	if i.Code == entry.CodeRange && strings.HasSuffix(i.Allowed, "%") && strings.HasPrefix(i.Found, "0.") {
		if d, err := entry.ParseDecimal(i.Found); err == nil {
			percent := strconv.FormatFloat(math.Round(d.Float()*1e6)/1e4, 'f', -1, 64)
			i.Allowed += "; " + i.Found + " reads as a fraction: write " + percent + " if that is what is meant"
		}
	}
	for path := i.Path; path != ""; path = path[:max(strings.LastIndexAny(path, ".["), 0)] {
		if header, ok := m.cells[path]; ok {
			i.Path = header
			return i
		}
	}
	return i
}

const needsID = "required: a UUID that stays with the entry, so that the same row charted again adds nothing"

// kindOf is the kind of a row's entry, nil when there is none of that name.
func (t *table) kindOf(cells []cell) *entry.Kind {
	name := ""
	if t.Mapping != nil {
		name = t.Mapping.kind()
	}
	for _, c := range cells {
		if c.column < len(t.columns) && t.columns[c.column] == "kind" {
			name = strings.TrimSpace(c.text)
		}
	}
	k, _ := entry.KindOf(name)
	return k
}

// specOf describes a field of a kind, or else one that takes any text: what is wrong with it is told by its name.
func specOf(k *entry.Kind, field string) *entry.Spec {
	for i := range entry.Common {
		if entry.Common[i].Name == field {
			return &entry.Common[i]
		}
	}
	if k != nil {
		if s, ok := k.Spec(field); ok {
			return s
		}
	}
	return &entry.Spec{Name: field, Private: true}
}

// made is an entry while it is gathered from the cells of a row.
type made struct {
	value entry.Value
	cells map[string]string // headers, by path of the entry
}

// begin makes ready to gather an entry of the present row.
func (t *table) begin() *made {
	return &made{value: entry.Value{Type: entry.ObjectValue, Line: t.above + t.rows}, cells: map[string]string{}}
}

// word adds a field that holds a word.
func (m *made) word(name, word string) {
	m.value.Fields = append(m.value.Fields, entry.TextField(name, word))
}

// field is a field of the entry, added where it has none of that name.
func (m *made) field(name string) *entry.Value {
	for i := range m.value.Fields {
		if m.value.Fields[i].Name == name {
			return &m.value.Fields[i].Value
		}
	}
	m.value.Fields = append(m.value.Fields, entry.Field{Name: name})
	return &m.value.Fields[len(m.value.Fields)-1].Value
}
