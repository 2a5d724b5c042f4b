package intake_test

import (
	"archive/zip"
	"bytes"
	"errors"
	"io"
	"os"
	"regexp"
	"runtime"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"cotline/internal/intake"
)

func weightRow(row, n int) []at {
	return rowOf(row, id(n), "in-1", "weight", "2026-10-24T08:00:00+02:00", "rn-1", 1210)
}

func must(t testing.TB, errs ...error) {
	t.Helper()
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
}

const weighed = sevenO + "1210}"

// Sheets that are no table of entries are told, and so is what nobody sees.
func TestXLSXSheets(t *testing.T) {
	for name, c := range map[string]struct {
		change func(f *excelize.File) error
		want   string
	}{
		"one": {func(*excelize.File) error { return nil }, "2 " + weighed + "\n3 " + weighed},
		"a title and notes above, cells left off, a row prepared": {func(f *excelize.File) error {
			return errors.Join(f.InsertRows("Sheet1", 1, 4), f.SetCellValue("Sheet1", "A2", "Weights of the night"),
				f.SetCellValue("Sheet1", "A8", id(9)), f.SetCellValue("Sheet1", "C8", "weight"))
		}, "6 " + weighed + "\n7 " + weighed},
		"two, with lines counted on": {func(f *excelize.File) error {
			_, err := f.NewSheet("More")
			return errors.Join(err, f.SetSheetRow("More", "A1", &[]any{"id", "kind", "at", "by", "text"}),
				f.SetSheetRow("More", "A3", &[]any{id(3), "note", "2026-10-24T08:00:00+02:00", "rn-1", "=1+1"}))
		}, "2 " + weighed + "\n3 " + weighed + "\n6 {" + `"kind":"note","at":"2026-10-24T08:00:00+02:00","by":"rn-1","text":"=1+1"}`},
		"sheets that are no entries": {func(f *excelize.File) error {
			_, err := f.NewSheet("Stock")
			_, err2 := f.NewSheet("Start")
			return errors.Join(err, err2, f.SetCellValue("Stock", "A1", "mask"), f.SetCellValue("Start", "A25", "id"))
		}, "2 " + weighed + "\n3 " + weighed + "\nnote: not read, as no column is headed id: Stock"},
		"a hidden sheet": {func(f *excelize.File) error {
			_, err := f.NewSheet("Front")
			f.SetActiveSheet(1)
			return errors.Join(err, f.SetSheetVisible("Sheet1", false))
		}, "2 " + weighed + "\n3 " + weighed + "\nnote: sheet Sheet1 is hidden and was read\nnote: not read, as no column is headed id: " +
			"Front"},
		"hidden rows and columns": {func(f *excelize.File) error {
			return errors.Join(f.SetRowVisible("Sheet1", 3, false), f.SetColVisible("Sheet1", "B:C", false))
		}, "2 " + weighed + "\n3 " + weighed + "\nnote: sheet Sheet1: hidden rows were read: 3\nnote: sheet Sheet1: hidden columns were " +
			"read: B, C"},
		"a formula": {func(f *excelize.File) error { return f.SetCellFormula("Sheet1", "F3", "F2*2") },
			"2 " + weighed + "\nline 3: weightG: found \"1210\"; a value: the cell holds a formula; copy it and paste the value alone " +
				"[format]"},
		"a formula that fills cells beside its own": {func(f *excelize.File) error {
			kind, ref := excelize.STCellFormulaTypeArray, "F2:F3"
			return f.SetCellFormula("Sheet1", "F2", "{1000,1100}*1", excelize.FormulaOpts{Type: &kind, Ref: &ref})
		}, "line 2: weightG: found \"1210\"; a value: the cell holds a formula; copy it and paste the value alone [format]\nline 3: " +
			"weightG: found \"1210\"; a value: the cell holds a formula; copy it and paste the value alone [format]"},
		"a formula for a header": {func(f *excelize.File) error { return f.SetCellFormula("Sheet1", "E1", "\"by\"") },
			"line 1: found E; a value: the cell holds a formula; copy it and paste the value alone [format]\nline 2: found column E; a " +
				"header above what the column holds [unknown-field]\nline 2: by: required [missing]\nline 3: by: required [missing]"},
		"a formula above the table is for people": {func(f *excelize.File) error {
			return errors.Join(f.InsertRows("Sheet1", 1, 1), f.SetCellFormula("Sheet1", "A1", "NOW()"))
		}, "3 " + weighed + "\n4 " + weighed},
		"merged cells": {func(f *excelize.File) error { return f.MergeCell("Sheet1", "F2", "F3") },
			"2 " + weighed + "\nline 3: weightG: required [missing]\nline 2: found cells F2:F3; no merged cells among entries: each row " +
				"has its own [format]"},
		"cells merged above the table": {func(f *excelize.File) error {
			return errors.Join(f.InsertRows("Sheet1", 1, 1), f.SetCellValue("Sheet1", "A1", "Weights"), f.MergeCell("Sheet1", "A1", "F1"))
		}, "3 " + weighed + "\n4 " + weighed},
		"a filter is no matter": {func(f *excelize.File) error { return f.AutoFilter("Sheet1", "A1:F3", nil) }, "2 " + weighed + "\n3 " +
			weighed},
		"nothing": {func(f *excelize.File) error { return f.RemoveRow("Sheet1", 1) },
			"line 1: a row of headers among the first 20, one of them id; required: a UUID that stays with the entry, so that the same " +
				"row charted again adds nothing [missing]"},
	} {
		data := bookOf(t, join(weightHead, weightRow(2, 1), weightRow(3, 2)), func(f *excelize.File) { must(t, c.change(f)) })
		told(t, name, readXLSX(t, vienna(t), data), c.want)
	}
}

// A sheet's rows and columns are told by its own numbers and letters.
func TestXLSXPlaces(t *testing.T) {
	data := bookOf(t, join(rowOf(3, nil, "id", "infant", "kind", "at", "by", nil, "weightG"),
		rowOf(5, nil, id(1), "in-1", "weight", "2026-10-24T08:00:00+02:00", "rn-1", nil, 99)))
	o := readXLSX(t, vienna(t), data)
	told(t, "places", o, "line 5: weightG: found 99; 200 to 10000 g [range]")
	if len(o.Sheets) != 1 || o.Sheets[0].Name != "Sheet1" || o.Sheets[0].Rows != 5 || o.Sheets[0].Columns["weightG"] != "H" ||
		o.Sheets[0].Columns["id"] != "B" {
		t.Errorf("%+v", o.Sheets)
	}
}

// repacked is a workbook with its parts changed: those named get a new text, or go when it is empty.
func repacked(t testing.TB, data []byte, change func(name, text string) string) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	must(t, err)
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range z.File {
		r, err := f.Open()
		must(t, err)
		text, err := io.ReadAll(r)
		must(t, err)
		if changed := change(f.Name, string(text)); changed != "" {
			to, err := w.Create(f.Name)
			must(t, err)
			_, err = to.Write([]byte(changed))
			must(t, err)
		}
	}
	must(t, w.Close())
	return out.Bytes()
}

const sheetPart = "xl/worksheets/sheet1.xml"

func replaced(part, old, new string) func(string, string) string {
	return func(name, text string) string {
		if name == part {
			return strings.Replace(text, old, new, 1)
		}
		return text
	}
}

// What other programs write and this library does not: texts in their cells, rows and cells without numbers, prefixes,
// dates as text, how a text is read aloud.
func TestXLSXOfOtherWriters(t *testing.T) {
	data := bookOf(t, join(weightHead, weightRow(2, 1)))
	for name, change := range map[string]func(string, string) string{
		"no numbers of rows and cells": func(name, text string) string {
			if name == sheetPart {
				return regexp.MustCompile(` r="[A-Z]*[0-9]+"`).ReplaceAllString(text, "")
			}
			return text
		},
		"a prefix": func(name, text string) string {
			if name == sheetPart {
				text = regexp.MustCompile(`<(/?)(worksheet|sheetData|row|c|v)\b`).ReplaceAllString(text, "<${1}x:$2")
				return strings.Replace(text, "xmlns=", "xmlns:x=", 1)
			}
			return text
		},
		"a text in its cell": replaced(sheetPart, `t="s"><v>9</v>`,
			`t="inlineStr"><is><r><t>2026-10-24T08:00:00</t></r><r><t>+02:00</t></r><rPh sb="0" eb="1"><t>x</t></rPh></is>`),
		"a date as text":   replaced(sheetPart, `t="s"><v>9</v>`, `t="d"><v>2026-10-24T08:00:00</v>`),
		"absolute targets": replaced("xl/_rels/workbook.xml.rels", `Target="worksheets`, `Target="/xl/worksheets`),
		"how it is read aloud": replaced("xl/sharedStrings.xml", "<t>in-1</t>",
			`<t>in-1</t><rPh sb="0" eb="2"><t>eye</t></rPh><phoneticPr fontId="1"/>`),
		"cells of nothing": replaced(sheetPart, `</row>`, `<c r="H1" s="0"/><c r="I1" t="s"/></row>`),
	} {
		told(t, name, readXLSX(t, vienna(t), repacked(t, data, change)), "2 "+weighed)
	}
}

// What is no sound workbook is refused as a whole, in bounded time and memory, without a word of it.
func TestXLSXUnsound(t *testing.T) {
	data := bookOf(t, join(weightHead, weightRow(2, 1)))
	const sound = "line 1: an .xlsx workbook without a password [format]"
	for name, c := range map[string]struct {
		data []byte
		want string
	}{
		"nothing":         {nil, sound},
		"no zip":          {[]byte("id,kind\n"), sound},
		"with a password": {append([]byte("\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"), make([]byte, 4096)...), sound},
		"half":            {data[:len(data)/2], sound},
		"no sheet": {repacked(t, data, func(name,
			text string) string {
			return map[bool]string{true: "", false: text}[name == sheetPart]
		}),
			"line 1: a whole workbook: its part xl/worksheets/sheet1.xml is missing [format]"},
		"no workbook": {repacked(t, data, func(name, text string) string {
			return map[bool]string{true: "", false: text}[name == "xl/workbook.xml"]
		}), "line 1: a whole workbook: its part xl/workbook.xml is missing [format]"},
		"broken XML": {repacked(t, data, replaced(sheetPart, "</row>", "</wor>")), sound},
		"rows out of order": {repacked(t, data, replaced(sheetPart, `<row r="2"`, `<row r="1"`)),
			"line 1: a sound workbook: the rows of a sheet are out of order [format]"},
		"cells out of order": {repacked(t, data, replaced(sheetPart, `r="C2"`, `r="A2"`)),
			"line 1: a sound workbook: the cells of a row are out of order [format]"},
		"no such style": {repacked(t, data, replaced(sheetPart, `<c r="F2"`, `<c r="F2" s="99"`)),
			"line 1: a sound workbook: a cell has a style that is not there [format]"},
		"no such text": {repacked(t, data, replaced(sheetPart, `<v>10</v>`, `<v>999</v>`)),
			"line 2: by: found \"999\"; a sound workbook: the cell's text is not there [format]"},
		"entities": {repacked(t, data, replaced("xl/sharedStrings.xml", "<sst", `<!DOCTYPE x [<!ENTITY a "aaaa">]><sst`)),
			"2 " + weighed},
		"an entity used": {repacked(t, data, replaced("xl/sharedStrings.xml", "in-1", `&a;`)), sound},
		"nested": {repacked(t, data, replaced(sheetPart, "<sheetData>", strings.Repeat("<x>", 100_000)+"<sheetData>")),
			"line 1: a sound workbook: its part xl/worksheets/sheet1.xml is nested too deep [format]"},
		"a bomb of texts": {repacked(t, data, replaced("xl/sharedStrings.xml", "in-1", strings.Repeat("x", 65<<20))),
			"line 1: a workbook of at most 64 MiB unpacked: split it [format]"},
		"a format of nothing": {repacked(t, bookOf(t, join(weightHead, weightRow(2, 1), []at{{"F2", 1210, "0.0"}})),
			replaced("xl/styles.xml", `formatCode="0.0"`, `formatCode=";;;;;;"`)),
			"line 2: weightG: found \"1210\"; a plain number or a whole date: the cell's format is ;;;;;;; use 0.0, yyyy-mm-dd or " +
				"yyyy-mm-dd hh:mm [format]"},
	} {
		told(t, name, readXLSX(t, vienna(t), c.data), c.want)
	}
}

// A small file that unpacks to a sheet of faults, or to one long text in every cell, costs no more than it may.
func TestXLSXMemoryIsBounded(t *testing.T) {
	faults := repacked(t, bookOf(t, join(weightHead, weightRow(2, 1))),
		replaced(sheetPart, "</sheetData>", strings.Repeat(`<row><c><v>1</v></c><c><v>1</v></c></row>`, 1_000_000)+"</sheetData>"))
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	o := readXLSX(t, vienna(t), faults)
	runtime.ReadMemStats(&after)
	last := o.Issues[len(o.Issues)-1]
	if len(o.Issues) < 100_000 || len(o.Issues) > 100_010 ||
		last.Allowed != "at most 1 GiB, 2,000,000 entries and 100,000 faults a file; the lines below were not read: split it" ||
		len(o.Sheets) != 1 {
		t.Errorf("%d faults, the last %v", len(o.Issues), last)
	}
	if len(faults) > 1<<20 {
		t.Errorf("the file is no small one: %d bytes", len(faults))
	}
	if spent := after.TotalAlloc - before.TotalAlloc; spent > 512<<20 { // allocated in all, most of it freed on the way
		t.Errorf("%d MiB spent", spent>>20)
	}
	long := repacked(t, bookOf(t, join(weightHead, weightRow(2, 1))),
		replaced("xl/sharedStrings.xml", "rn-1", strings.Repeat("_x0041_", 1<<18)))
	told(t, "a long text", readXLSX(t, vienna(t), long), "line 2: by: found \"\"; a text of at most 1 MiB [format]")
}

// A file that cannot be read is an error; what it holds is not to blame.
func TestXLSXReadingFails(t *testing.T) {
	data := bookOf(t, join(weightHead, weightRow(2, 1)))
	for _, good := range []int64{0, int64(len(data)) / 2} {
		_, err := intake.XLSX(&half{bytes.NewReader(data), good}, int64(len(data)), vienna(t))
		if !errors.Is(err, os.ErrClosed) {
			t.Errorf("%v", err)
		}
	}
}

// half is a file of which only the end can be read.
type half struct {
	r    io.ReaderAt
	good int64
}

func (h *half) ReadAt(p []byte, off int64) (int, error) {
	if off < h.good || h.good == 0 {
		return 0, os.ErrClosed
	}
	return h.r.ReadAt(p, off)
}
