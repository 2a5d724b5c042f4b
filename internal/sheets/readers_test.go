package sheets

import (
	"archive/zip"
	"bytes"
	"io"
	"iter"
	"regexp"
	"slices"
	"testing"
	"time"

	"github.com/thedatashed/xlsxreader"
	"github.com/xuri/excelize/v2"
)

// opened is a workbook as two independent readers see it, and its parts.
type opened struct {
	t     testing.TB
	a     *excelize.File
	b     *xlsxreader.XlsxFile
	parts map[string][]byte
	names []string // of the parts, in the file's order
	read  *readParts
}

// readParts is what a test has read of a workbook already.
type readParts struct {
	rows   map[string][][]string // by sheet
	sheets map[string]worksheet  // by sheet, with tables
	tables map[string]tablePart
}

func open(t testing.TB, data []byte) opened {
	t.Helper()
	o := opened{t: t, parts: map[string][]byte{}, read: &readParts{rows: map[string][][]string{}}}
	var err error
	if o.a, err = excelize.OpenReader(bytes.NewReader(data)); err != nil {
		t.Fatal(err)
	}
	if o.b, err = xlsxreader.NewReader(data); err != nil {
		t.Fatal(err)
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		if f.Flags&0x8 != 0 {
			t.Errorf("%s: its sizes follow it", f.Name)
		}
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		if o.parts[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatal(err)
		}
		o.names = append(o.names, f.Name)
	}
	return o
}

// rows are a sheet's rows as shown, without title and header; header is the second row.
func (o opened) rows(sheet string) (header []string, rows [][]string) {
	o.t.Helper()
	all := o.all(sheet)
	if len(all) < headerRow+1 {
		o.t.Fatalf("sheet %s has %d rows", sheet, len(all))
	}
	return all[headerRow-1], all[headerRow:]
}

// all are a sheet's rows as shown, from the title on.
func (o opened) all(sheet string) [][]string {
	o.t.Helper()
	if rows, ok := o.read.rows[sheet]; ok {
		return rows
	}
	rows, err := o.a.GetRows(sheet)
	if err != nil {
		o.t.Fatal(err)
	}
	o.read.rows[sheet] = rows
	return rows
}

// row is one row of a sheet by header.
type row map[string]string

func (o opened) records(sheet string) []row {
	o.t.Helper()
	header, rows := o.rows(sheet)
	var out []row
	for _, r := range rows {
		m := row{}
		for i, v := range r {
			m[oneOffset.ReplaceAllString(header[i], ")")] = v
		}
		out = append(out, m)
	}
	return out
}

// oneOffset is what a header says where all moments of a sheet have one offset.
var oneOffset = regexp.MustCompile(`, UTC[+-]\d\d:\d\d\)$`)

// typed is a sheet's cells as the second reader sees them, row by row from the title on.
func (o opened) typed(sheet string) [][]xlsxreader.Cell {
	o.t.Helper()
	var out [][]xlsxreader.Cell
	for r := range o.b.ReadRows(sheet) {
		if r.Error != nil {
			o.t.Fatal(r.Error)
		}
		out = append(out, r.Cells)
	}
	return out
}

// column is one column's cells below the header, as the second reader sees them.
func (o opened) column(sheet, head string) []xlsxreader.Cell {
	o.t.Helper()
	all := o.typed(sheet)
	i := slices.IndexFunc(all[headerRow-1], func(c xlsxreader.Cell) bool { return c.Value == head })
	if i < 0 {
		o.t.Fatalf("sheet %s has no column %q", sheet, head)
	}
	var out []xlsxreader.Cell
	for _, r := range all[headerRow:] {
		out = append(out, r[i])
	}
	return out
}

// format is the number format of a cell.
func (o opened) format(sheet, ref string) string {
	o.t.Helper()
	id, err := o.a.GetCellStyle(sheet, ref)
	if err != nil {
		o.t.Fatal(err)
	}
	s, err := o.a.GetStyle(id)
	if err != nil {
		o.t.Fatal(err)
	}
	if s.CustomNumFmt != nil {
		return *s.CustomNumFmt
	}
	return map[int]string{0: "General", 49: "@"}[s.NumFmt]
}

// written makes a workbook of one sheet with one column a list of cells.
func written(t testing.TB, columns map[string][]cell) opened {
	t.Helper()
	data, err := writeColumns(columns)
	if err != nil {
		t.Fatal(err)
	}
	return open(t, data)
}

func writeColumns(columns map[string][]cell) ([]byte, error) {
	var cols []column[int]
	rows := 0
	for _, head := range slices.Sorted(keys(columns)) {
		list := columns[head]
		rows = len(list)
		cols = append(cols, column[int]{head, 0, func(i int) cell { return list[i] }})
	}
	return writeSheets(newBook("Title", "&LFooter"), table("Test", "No row.", upTo(rows), func(int) string { return "row" }, cols...))
}

func keys[V any](m map[string]V) iter.Seq[string] {
	return func(yield func(string) bool) {
		for k := range m {
			if !yield(k) {
				return
			}
		}
	}
}

func upTo(n int) iter.Seq[int] {
	return func(yield func(int) bool) {
		for i := range n {
			if !yield(i) {
				return
			}
		}
	}
}

func writeSheets(b *book, sheets ...sheet) ([]byte, error) {
	for _, s := range sheets {
		if err := b.add(s); err != nil {
			return nil, err
		}
	}
	var out bytes.Buffer
	err := b.finish(&out, time.Date(2026, 10, 25, 6, 30, 0, 0, time.UTC), "0.0.0-test")
	return out.Bytes(), err
}
