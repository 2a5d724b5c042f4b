package intake_test

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"cotline/handover/entry"
	"cotline/internal/intake"
)

// pageLines is what an A4 page holds in print of eight points on ten, within margins of
// 15 mm: 267 mm of 3.53 mm each.
const pageLines = 75

// The table has every kind, field and word, and fits a page in width and height.
func TestSchemaTable(t *testing.T) {
	text := intake.SchemaTable()
	lines := strings.Split(strings.TrimRight(text, "\n"), "\n")
	if len(lines) > pageLines {
		t.Errorf("%d lines", len(lines))
	}
	rows, kind := map[string]string{}, ""
	for i, l := range lines {
		if utf8.RuneCountInString(l) > 100 || l != strings.TrimRight(l, " ") {
			t.Errorf("%q", l)
		}
		if i < 3 { // what stands above
			continue
		}
		if l[0] != ' ' {
			kind = strings.TrimSpace(l[:13])
		}
		rows[kind] += strings.TrimSpace(l[13:]) + " "
	}
	words := func(s string) []string {
		return strings.FieldsFunc(s, func(r rune) bool { return strings.ContainsRune(" ;|,[]{}()*", r) })
	}
	var all func(string, []entry.Spec)
	all = func(kind string, specs []entry.Spec) {
		has := words(rows[kind])
		for _, s := range specs {
			want := append([]string{s.Name}, s.Words...)
			if s.List == "care" && !s.Required {
				want = want[:1]
			}
			if s.Type != entry.Gestation { // its form is shown
				want = append(want, words(s.Unit)...)
			}
			for _, w := range want {
				if kind != "every entry" && !slices.Contains(has, w) {
					t.Errorf("%s %s: no %q in %q", kind, s.Name, w, rows[kind])
				}
			}
			if s.Required && !strings.Contains(rows[kind], s.Name+"*") {
				t.Errorf("%s: %s is not marked", kind, s.Name)
			}
			all(kind, s.Of)
		}
	}
	all("every entry", entry.Common)
	for _, k := range entry.Kinds {
		all(k.Name, k.Fields)
	}
	if len(rows) != len(entry.Kinds)+1 {
		t.Errorf("%d rows", len(rows))
	}
}
