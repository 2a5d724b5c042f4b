package intake_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"cotline/internal/intake"
)

const nightWeights = `
columns: {Row: id, Child: infant, "Weighed at": at, "Weight (g)": weightG}
fixed: {kind: weight, by: rn-1}
ignore: [Scale]
`

// Headers of somebody else's table, a kind and a nurse for the whole of it, a column that is not read.
func TestMapping(t *testing.T) {
	tables := vienna(t)
	tables.Mapping = mapping(t, nightWeights)
	row := id(1) + ",in-1,2026-10-24 08:00,1210,=B2\n"
	for name, c := range map[string]struct{ text, want string }{
		"as mapped":         {"Row,Child,Weighed at,Weight (g),Scale\n" + row, "2 " + weighed},
		"blanks and breaks": {"\"Row \",Child,Weighed at,\"Weight\n(g)\",Scale\n" + row, "2 " + weighed},
		"a field needs no map": {"Row,Child,Weighed at,Weight (g),charted\n" + id(1) + ",in-1,2026-10-24 08:00,1210,2026-10-24 " +
			"09:00\n",
			`2 {"infant":"in-1","kind":"weight","at":"2026-10-24T08:00:00+02:00","charted":"2026-10-24T09:00:00+02:00","by":"rn-1",` +
				`"weightG":1210}`},
		"a row prepared": {"Row,Child,Weighed at,Weight (g),Scale\n" + id(2) + ",,,,=B2\n" + row, "3 " + weighed},
		"a header of the map is not there": {"Row,Child,Weighed at,Scale\n" + id(1) + ",in-1,2026-10-24 08:00,\n",
			"line 1: Weight (g): the header, which the map names [missing]\nline 2: weightG: required [missing]"},
		"a fixed field is a column too": {"Row,Child,Weighed at,Weight (g),by\n" + id(1) + ",in-1,2026-10-24 08:00,1210,rn-2\n",
			"line 1: by: found column E; each field once: in one column, or fixed in the map [duplicate-field]\n2 " + weighed},
		"another column": {"Row,Child,Weighed at,Weight (g),Nurse\n" + row,
			"line 1: Nurse: a field of an entry as cotline schema tells it, or a header that the map names [unknown-field]\n2 " + weighed},
	} {
		o := readCSV(t, tables, c.text)
		want := c.want
		if issue, entry, ok := strings.Cut(want, "\n2 {"); ok { // entries are told first
			want = "2 {" + entry + "\n" + issue
		}
		told(t, name, o, want)
	}
}

// The rows of somebody else's table have numbers of their own: each number of a source is one entry, for ever.
func TestMappingOfNumberedRows(t *testing.T) {
	tables := vienna(t)
	read := func(source, rows string) []string {
		tables.Mapping = mapping(t, nightWeights+source)
		o := readCSV(t, tables, "Row,Child,Weighed at,Weight (g),Scale\n"+rows)
		if len(o.Issues) > 0 {
			t.Fatal(o.Issues)
		}
		var ids []string
		for _, e := range o.Entries {
			ids = append(ids, e.ID)
		}
		return ids
	}
	const rows = "17,in-1,2026-10-24 08:00,1210,\nB-18,in-1,2026-10-24 09:00,1215,\n"
	once, again, other := read(
		"source: scales of the bay\n",
		rows,
	), read(
		"source: scales of the bay\n",
		rows,
	), read(
		"source: scales of the hall\n",
		rows,
	)
	// As Python's uuid.uuid5 makes them: uuid5(uuid5(NAMESPACE_URL, "cotline table\nscales of the bay"), "17").
	if want := []string{"e303bfd6-07cf-5d85-a486-2ed53a6783b1", "f747d6e7-d0ba-559b-96de-f3d15430cced"}; !slices.Equal(once, want) {
		t.Errorf("got %v, want %v", once, want)
	}
	if !slices.Equal(once, again) || once[0] == other[0] {
		t.Errorf("%v, again %v, of another source %v", once, again, other)
	}
	tables.Mapping = mapping(t, nightWeights+"source: scales of the bay\n")
	o := readCSV(t, tables, "Row,Child,Weighed at,Weight (g),Scale\n,in-1,2026-10-24 08:00,1210,\n")
	if got := fmt.Sprint(o.Issues); !strings.Contains(got, "id: required") {
		t.Errorf("a row without a number: %s", got)
	}
}

// A map may name one sheet of a workbook, and fix what is no text.
func TestMappingOfASheet(t *testing.T) {
	data := bookOf(t, join(weightHead, weightRow(2, 1)), func(f *excelize.File) {
		_, err := f.NewSheet("Seals")
		must(
			t,
			err,
			f.SetSheetRow("Seals", "A1", &[]any{"id", "infant", "at"}),
			f.SetSheetRow("Seals", "A2", &[]any{id(2), "in-1", "2026-10-24 08:00"}),
		)
	})
	tables := vienna(t)
	tables.Mapping = mapping(t, "sheet: Seals\nfixed: {kind: seal, by: rn-1, held: true, pressureCmH2O: 5.0}\n")
	told(
		t,
		"one sheet",
		readXLSX(t, tables, data),
		`2 {"infant":"in-1","kind":"seal","at":"2026-10-24T08:00:00+02:00","by":"rn-1","held":true,"pressureCmH2O":5.0}`,
	)
	tables.Mapping = mapping(t, "sheet: Sealed\n")
	told(t, "no such sheet", readXLSX(t, tables, data), "line 1: a sheet named Sealed, as the map says [format]")
}

func TestMappingRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":                "a map with sheet, source, columns, fixed, ignore [type]",
		"[a]":             "line 1: a map with sheet, source, columns, fixed, ignore [type]",
		"columns: [a]":    "line 1: columns: a map [type]",
		"colums: {a: id}": "line 1: colums: one of sheet, source, columns, fixed, ignore [unknown-field]",
		"columns: {Weight: wieghtG}": "line 1: columns.Weight: found \"wieghtG\"; a field of an entry, as cotline schema " +
			"tells it [unknown-field]",
		"columns: {Weight: 5}": "line 1: columns.Weight: found 5; a field of an entry, as cotline schema tells it " +
			"[unknown-field]",
		"columns:\n  A: at\n  B: at":       "line 3: columns.B: each field once: in one column, or fixed [duplicate-field]",
		"columns: {A: at}\nfixed: {at: x}": "line 2: fixed.at: each field once: in one column, or fixed [duplicate-field]",
		"fixed: {id: x}":                   "line 1: fixed.id: a column: each entry has an id of its own [duplicate-field]",
		"fixed: {kind: wieght}": "line 1: fixed.kind: found \"wieght\"; a kind of entry, as cotline schema tells it " +
			"[unknown-kind]",
		"fixed: {famly: Marigold}": "line 1: fixed.famly: a field of an entry, as cotline schema tells it [unknown-field]",
		"source: 5":                "line 1: source: a name for where the rows come from, the same at each charting [type]",
		"source: ' '":              "line 1: source: a name for where the rows come from, the same at each charting [type]",
		"sheet: 5":                 "line 1: sheet: the name of a sheet [type]",
		"ignore: Scale":            "line 1: ignore: a list of headers [type]",
		"columns: {A: at, A: by}":  "line 1: columns.A: each key once in a map [duplicate-field]",
		"columns: {A: &x at, B: *x}": "line 1: columns.A: plain YAML, without anchors, aliases and tags: write the value out " +
			"[format]\nline 1: columns.B: plain YAML, without anchors, aliases and tags: write the value out [format]",
	} {
		_, issues := intake.ReadMapping([]byte(text))
		var got []string
		for _, i := range issues {
			got = append(got, fmt.Sprint(i))
		}
		if strings.Join(got, "\n") != want {
			t.Errorf("%q: got\n%s\nwant\n%s", text, strings.Join(got, "\n"), want)
		}
	}
}
