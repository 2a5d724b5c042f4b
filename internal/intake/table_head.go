package intake

import (
	"maps"
	"slices"
	"strings"

	"cotline/handover/entry"
)

// field is what a header names: a field, or nothing.
func (t *table) field(header string) string {
	header = plain(header)
	if t.Mapping != nil {
		if f, ok := t.Mapping.columns[header]; ok {
			return f
		}
	}
	if known(header) {
		return header
	}
	if _, ok := targetOf(header); ok || header == written {
		return header
	}
	return ""
}

// plain is a header without the blanks and line breaks that nobody sees.
func plain(header string) string { return strings.Join(strings.Fields(header), " ") }

// known says whether some kind of entry has a field of that name.
func known(name string) bool {
	if slices.ContainsFunc(entry.Common, func(s entry.Spec) bool { return s.Name == name }) {
		return true
	}
	return slices.ContainsFunc(entry.Kinds, func(k entry.Kind) bool { _, ok := k.Spec(name); return ok })
}

func (t *table) headers(cells []cell) {
	t.head = t.rows
	seen := map[string]bool{}
	if t.Mapping != nil {
		for _, f := range t.Mapping.fixed {
			seen[f.Name] = true
		}
	}
	for _, c := range cells {
		for len(t.columns) <= c.column {
			t.columns = append(t.columns, "")
		}
		field, header := t.field(c.text), plain(c.text)
		switch {
		case t.Mapping != nil && t.Mapping.ignored[header]:
			t.columns[c.column] = ignored
		case c.holds == holdsFault:
			t.add("", entry.CodeFormat, letters(c.column), c.why)
		case field == "":
			t.add(shown(header), entry.CodeUnknownField, "",
				"a field of an entry as cotline schema tells it, or a header that the map names")
			t.columns[c.column] = ignored
		case seen[field]:
			t.add(field, entry.CodeDuplicateField, "column "+letters(c.column), "each field once: in one column, or fixed in the map")
			t.columns[c.column] = ignored
		default:
			seen[field] = true
			t.columns[c.column] = field
			if to, ok := targetOf(field); ok && (t.Mapping == nil || !known(field)) {
				t.targets[c.column] = to
				t.round.is = t.round.is || to.kind != ""
			}
		}
	}
	if t.Mapping == nil {
		return
	}
	for _, header := range slices.Sorted(maps.Keys(t.Mapping.columns)) {
		if !slices.Contains(t.columns, t.Mapping.columns[header]) {
			t.add(shown(header), entry.CodeMissing, "", "the header, which the map names")
		}
	}
}

// ignored marks a column that is not read.
const ignored = "-"
