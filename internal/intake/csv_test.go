package intake_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"errors"
	"io"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"unicode"
	"unicode/utf8"

	"cotline/handover/entry"
	"cotline/internal/intake"
	"cotline/internal/ward"
)

// tableOf lays entries out as a table: a column a field, texts as they are, all else as its JSON text.
func tableOf(t testing.TB, entries []*entry.Entry) (columns []string, rows [][]json.RawMessage) {
	t.Helper()
	var fields []map[string]json.RawMessage
	seen := map[string]bool{}
	for _, e := range entries {
		m := map[string]json.RawMessage{}
		if err := json.Unmarshal(e.AppendCanonical(nil), &m); err != nil {
			t.Fatal(err)
		}
		fields = append(fields, m)
		for name := range m {
			if !seen[name] {
				seen[name] = true
				columns = append(columns, name)
			}
		}
	}
	slices.Sort(columns)
	for _, m := range fields {
		row := make([]json.RawMessage, len(columns))
		for i, name := range columns {
			row[i] = m[name]
		}
		rows = append(rows, row)
	}
	return columns, rows
}

// cellText is a field in a table of texts.
func cellText(t testing.TB, v json.RawMessage) string {
	t.Helper()
	if len(v) == 0 || v[0] != '"' {
		return string(v)
	}
	var s string
	if err := json.Unmarshal(v, &s); err != nil {
		t.Fatal(err)
	}
	return s
}

func wardEntries(t testing.TB) []*entry.Entry {
	t.Helper()
	_, demo := ward.Demo()
	text := demo
	for seed := range uint64(5) {
		text = append(text, bytes.Join(lines(seed, 9, 3), nil)...)
	}
	o := ndjson(t, bytes.NewReader(text))
	if len(o.Issues) > 0 || len(o.Entries) < 3000 {
		t.Fatal(len(o.Entries), o.Issues)
	}
	return o.Entries
}

// sameEntries holds what a table gives to the entries that it was made from, to the byte that is stored.
func sameEntries(t testing.TB, o intake.Offer, want []*entry.Entry) {
	t.Helper()
	if len(o.Issues) > 0 {
		t.Fatalf("%d issues: %v", len(o.Issues), o.Issues[:min(5, len(o.Issues))])
	}
	if len(o.Entries) != len(want) {
		t.Fatalf("%d entries, want %d", len(o.Entries), len(want))
	}
	for i, e := range o.Entries {
		if got, want := string(e.AppendCanonical(nil)), string(want[i].AppendCanonical(nil)); got != want {
			t.Errorf("line %d:\n%s\nwant\n%s", e.Line, got, want)
		}
	}
}

// Whole wards of every kind of entry come through CSV as they come through NDJSON, to the byte that is stored.
func TestWardsThroughCSV(t *testing.T) {
	entries := wardEntries(t)
	columns, rows := tableOf(t, entries)
	for _, comma := range []rune{',', ';'} {
		var b bytes.Buffer
		w := csv.NewWriter(&b)
		w.Comma = comma
		row := func(cells []string) {
			if err := w.Write(cells); err != nil {
				t.Fatal(err)
			}
		}
		row(columns)
		for _, r := range rows {
			cells := make([]string, len(r))
			for i, v := range r {
				cells[i] = cellText(t, v)
				if comma == ';' && len(v) > 0 && strings.ContainsAny(string(v[0]), "-0123456789") {
					cells[i] = strings.Replace(cells[i], ".", ",", 1)
				}
			}
			row(cells)
		}
		w.Flush()
		sameEntries(t, readCSV(t, vienna(t), b.String()), entries)
		o, err := intake.CSV(iotest.OneByteReader(&b), vienna(t))
		if err != nil {
			t.Fatal(err)
		}
		sameEntries(t, o, entries)
	}
}

// An open quote costs no more memory than the longest row that is taken.
func TestCSVMemoryIsBounded(t *testing.T) {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	o, err := intake.CSV(io.MultiReader(strings.NewReader("id,kind,text\n1,note,\""), io.LimitReader(forever('x'), 256<<20)), vienna(t))
	runtime.ReadMemStats(&after)
	if err != nil || outline(o) != "2:line-too-long" {
		t.Error(outline(o), err)
	}
	if spent := after.TotalAlloc - before.TotalAlloc; spent > 32<<20 {
		t.Errorf("%d MiB spent on 256 MiB", spent>>20)
	}
}

func TestCSVReadingFails(t *testing.T) {
	broken := errors.New("the disk is gone")
	for _, start := range []string{"", "id,kind\n1,note\n", "id,kind\n" + strings.Repeat("1,note\n", 20_000)} {
		_, err := intake.CSV(io.MultiReader(strings.NewReader(start), iotest.ErrReader(broken)), vienna(t))
		if !errors.Is(err, broken) {
			t.Errorf("after %d bytes: %v", len(start), err)
		}
	}
}

// Whatever a file holds, it is read to an end; what is refused is told on one line, and what is taken reads back the same
// from its stored text.
func FuzzCSV(f *testing.F) {
	f.Add([]byte(columns + "weightG\n" + id(1) + ",in-1,weight,2026-10-24 08:00,rn-1,1210.5\n"))
	f.Add([]byte("\ufeffid;infant;kind;at;by;text;readOut\r\n" + id(1) + ";;note;2026-10-25 02:30;rn-1;\"a\r\nb\";true\r\n"))
	f.Add(
		[]byte(
			columns + "sites\n" + id(1) + `,in-1,skin,2026-10-24T08:00:00Z,rn-1,"[{""site"":""septum"",""finding"":""intact""}]"` + "\n",
		),
	)
	f.Add([]byte("id,born\n,2026-03-29 02:30\n\"\n"))
	tables := vienna(f)
	f.Fuzz(func(t *testing.T, text []byte) {
		o, err := intake.CSV(bytes.NewReader(text), tables)
		if err != nil {
			t.Fatal(err)
		}
		rows := 0
		for _, s := range o.Sheets {
			rows += s.Rows
		}
		if rows != o.Lines || o.Lines == 0 {
			t.Errorf("%d rows of sheets in %d lines", rows, o.Lines)
		}
		for _, i := range o.Issues {
			if s := i.String(); i.Line < 1 || i.Line > o.Lines || !utf8.ValidString(s) || strings.ContainsFunc(s, unicode.IsControl) {
				t.Errorf("%q of %d lines", s, o.Lines)
			}
		}
		for _, e := range o.Entries {
			stored := e.AppendCanonical(nil)
			again := ndjson(t, bytes.NewReader(append(stored, '\n')))
			if len(again.Issues) > 0 || !bytes.Equal(again.Entries[0].AppendCanonical(nil), stored) {
				t.Errorf("%s\n%v", stored, again.Issues)
			}
		}
	})
}
