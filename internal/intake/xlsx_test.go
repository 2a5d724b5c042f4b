package intake_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"cotline/internal/intake"
)

// Workbooks of these tests are written by another library.

// at is a cell and what is written to it.
type at struct {
	ref    string
	value  any
	format string // number format, where one is set
}

type formula string

// bookOf is a workbook of one sheet, Sheet1, changed by hand where wanted.
func bookOf(t testing.TB, cells []at, change ...func(*excelize.File)) []byte {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close() // nothing is left to lose
	for _, c := range cells {
		put(t, f, "Sheet1", c)
	}
	for _, do := range change {
		do(f)
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func put(t testing.TB, f *excelize.File, sheet string, c at) {
	t.Helper()
	var err error
	if c.format != "" {
		style, e := f.NewStyle(&excelize.Style{CustomNumFmt: &c.format})
		err = errors.Join(e, f.SetCellStyle(sheet, c.ref, c.ref, style))
	}
	switch v := c.value.(type) {
	case formula:
		err = errors.Join(err, f.SetCellFormula(sheet, c.ref, string(v)))
	default:
		err = errors.Join(err, f.SetCellValue(sheet, c.ref, v))
	}
	if err != nil {
		t.Fatal(err)
	}
}

// rowOf is a row of cells from A on.
func rowOf(row int, values ...any) []at {
	var out []at
	for i, v := range values {
		ref, _ := excelize.CoordinatesToCellName(i+1, row)
		if c, ok := v.(at); ok {
			c.ref = ref
			out = append(out, c)
		} else if v != nil {
			out = append(out, at{ref: ref, value: v})
		}
	}
	return out
}

func readXLSX(t testing.TB, tables intake.Tables, data []byte) intake.Offer {
	t.Helper()
	o, err := intake.XLSX(bytes.NewReader(data), int64(len(data)), tables)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// join puts rows under headers.
func join(rows ...[]at) (out []at) {
	for _, r := range rows {
		out = append(out, r...)
	}
	return out
}

var weightHead = rowOf(1, "id", "infant", "kind", "at", "by", "weightG")

const sevenO = `{"infant":"in-1","kind":"weight","at":"2026-10-24T08:00:00+02:00","by":"rn-1","weightG":`

func eight(zone *time.Location) time.Time { return time.Date(2026, 10, 24, 8, 0, 0, 0, zone) }

// A cell's number, by its format: as it is shown or not at all.
func TestXLSXNumbers(t *testing.T) {
	for _, c := range []struct {
		value  any
		format string
		want   string // the number, or the start of the refusal
	}{
		{1210, "", "1210"},
		{1210.5, "", "1210.5"},
		{1210.0, "0.0", "1210.0"},
		{1210.25, "0.00", "1210.25"},
		{1210.1, "0.0###", "1210.1"},
		{1210.1, "#.##", "1210.1"},
		{1210.5, "0.00_ ;[Red]\\-0.00\\ ", "1210.50"},
		{1210.0, "@", "1210"},
		{"1210.50", "", "1210.50"},
		{" 1210.50 ", "@", "1210.50"},
		{1210.0 + 0.1 + 0.2, "", "1210.3"}, // 1210.3 is what 15 digits show
		{1210.25, "0.0", "found \"1210.25\"; what it shows: the cell holds more decimals than its format 0.0 shows"},
		{1210.25, "0", "found \"1210.25\"; what it shows"},
		{1210, "#,##0", "found \"1210\"; a plain number"},
		{12.10, "0%", "found \"12.1\"; a plain number or a whole date: the cell's format is 0%"},
		{1210, "0.00E+00", "found \"1210\"; a plain number"},
		{1210, "# ?/?", "found \"1210\"; a plain number"},
		{1210, `0" g"`, "found \"1210\"; a plain number"},
		{1.21, `0.00" kg"`, "found \"1.21\"; a plain number"},
		{1210, "[$€-2] 0", "found \"1210\"; a plain number"},
		{1210, "yyyy-mm-dd", "found \"1903-04-24\"; a number: the cell holds a date"},
		{true, "", "found \"true\"; a number, 200 to 10000 g"},
		{1e300, "", "found 100000000000000000000000000000000000000000000000000000000000…; at most 15 digits"},
		{-5, "", "found -5; 200 to 10000 g"},
	} {
		o := readXLSX(t, vienna(t), bookOf(t, join(weightHead,
			rowOf(2, id(1), "in-1", "weight", "2026-10-24T08:00:00+02:00", "rn-1", at{value: c.value, format: c.format}))))
		got := offered(o)
		want := "2 " + sevenO + c.want + "}\n"
		if strings.Contains(c.want, "found") {
			want = "line 2: weightG: " + c.want
		}
		if !strings.HasPrefix(got, want) {
			t.Errorf("%v as %q:\n%swant\n%s", c.value, c.format, got, want)
		}
	}
}

// Texts are texts: a number where a text belongs may have lost its zeros, and a date may have been a size.
func TestXLSXTexts(t *testing.T) {
	for _, c := range []struct {
		value  any
		format string
		want   string
	}{
		{"0012345", "", `"0012345"`},
		{"=1+1", "", `"=1+1"`},
		{"_x0041_", "", `"A"`}, // the library writes it as it is: an A to every reader
		{"_x005F_x0041_", "", `"_x0041_"`},
		{"_xD800_ _x12_", "", `"_xD800_ _x12_"`},
		{"Łucja 👩‍⚕️ <b>&", "", `"Łucja 👩‍⚕️ <b>&"`},
		{" 0012345 ", "@", `"0012345"`},
		{[]excelize.RichTextRun{{Text: "00"}, {Text: "12", Font: &excelize.Font{Bold: true}}}, "", `"0012"`},
		{12345, "", "line 2: mrn: a text cell: the cell holds a number; format it as text and write it again, zeros before it too [type]"},
		{12345, "0000000", "line 2: mrn: a text cell: the cell holds a number"},
		{eight(time.UTC), "yyyy-mm-dd", "line 2: mrn: what it shows"},
		{46320, "yyyy-mm-dd", "line 2: mrn: a text cell: the cell holds a date"},
		{true, "", "line 2: mrn: a text cell: the cell holds true or false"},
		{formula("1+1"), "", "line 2: mrn: a value: the cell holds a formula; copy it and paste the value alone [format]"},
	} {
		cells := join(rowOf(1, "id", "infant", "kind", "at", "by", "mrn"),
			rowOf(2, id(1), "in-1", "identity", "2026-10-24T08:00:00+02:00", "rn-1"))
		cell := at{"F2", c.value, c.format}
		var change func(*excelize.File)
		if runs, ok := c.value.([]excelize.RichTextRun); ok {
			change = func(f *excelize.File) {
				if err := f.SetCellRichText("Sheet1", "F2", runs); err != nil {
					t.Fatal(err)
				}
			}
		} else {
			change = func(f *excelize.File) { put(t, f, "Sheet1", cell) }
		}
		got := offered(readXLSX(t, vienna(t), bookOf(t, cells, change)))
		want := `2 {"infant":"in-1","kind":"identity","at":"2026-10-24T08:00:00+02:00","by":"rn-1","mrn":` + c.want + "}\n"
		if strings.HasPrefix(c.want, "line") {
			want = c.want
		}
		if !strings.HasPrefix(got, want) {
			t.Errorf("%v as %q:\n%swant\n%s", c.value, c.format, got, want)
		}
	}
}

// A date cell is the clock's time in the unit's zone, in both calendars; where it shows less than the whole, or the clock
// shows it twice or never, it is refused.
func TestXLSXDates(t *testing.T) {
	wall := func(s string) time.Time {
		at, err := time.Parse("2006-01-02 15:04:05", s)
		if err != nil {
			t.Fatal(err)
		}
		return at
	}
	for _, c := range []struct {
		value  any
		format string
		want   string
	}{
		{wall("2026-07-01 23:30:00"), "yyyy-mm-dd hh:mm", "2026-07-01T23:30:00+02:00"},
		{wall("2026-07-01 00:00:00"), "dd.mm.yyyy hh:mm", "found \"2026-07-01 00:00:00\"; a date with its time of day, as " +
			"2026-07-01 07:30: the cell holds a day alone; if midnight is meant, write it as text, an apostrophe first: '2026-07-01 " +
			"00:00"},
		{"2026-07-01 00:00", "@", "2026-07-01T00:00:00+02:00"},
		{wall("2026-12-31 23:59:59"), `yyyy\-mm\-dd\ hh:mm:ss;@`, "2026-12-31T23:59:59+01:00"},
		{wall("2026-12-31 23:59:59"), "[$-409]d/m/yy h:mm AM/PM", "2026-12-31T23:59:59+01:00"},
		{wall("2026-07-01 23:30:00"), `yyyy-mm-dd"T"hh:mm`, "2026-07-01T23:30:00+02:00"},
		{"2026-07-01T23:30:00Z", "", "2026-07-01T23:30:00Z"},
		{"2026-07-01 23:30", "@", "2026-07-01T23:30:00+02:00"},
		{wall("2026-10-25 01:59:00"), "yyyy-mm-dd hh:mm", "2026-10-25T01:59:00+02:00"},
		{wall("2026-10-25 03:00:00"), "yyyy-mm-dd hh:mm", "2026-10-25T03:00:00+01:00"},
		{wall("2026-10-25 02:00:00"), "yyyy-mm-dd hh:mm", "found \"2026-10-25 02:00:00\"; which of two: the clock shows it twice; " +
			"write 2026-10-25T02:00:00+02:00 for the first, 2026-10-25T02:00:00+01:00 for the second"},
		{wall("2026-03-29 02:59:00"), "yyyy-mm-dd hh:mm", "found \"2026-03-29 02:59:00\"; a time that the clock shows: it skips this one"},
		{wall("2026-07-01 23:30:00"), "yyyy-mm-dd", "found \"2026-07-01 23:30:00\"; what it shows: the cell shows a day and holds a " +
			"time of day too"},
		{wall("2026-07-01 00:00:00"), "yyyy-mm-dd", "found \"2026-07-01\"; a date with its time of day, as 2026-07-01 07:30: the " +
			"cell shows a day alone"},
		{wall("2026-07-01 23:30:00"), "mmm-yy", "found \"46204.979166666664\"; a plain number or a whole date: the cell's format is " +
			"mmm-yy"},
		{wall("2026-07-01 23:30:00"), "d-mmm hh:mm", "found \"46204.979166666664\"; a plain number or a whole date"},
		{wall("2026-07-01 23:30:00"), "hh:mm", "found \"46204.979166666664\"; a plain number or a whole date"},
		{wall("2026-07-01 23:30:00"), "General", "found \"46204.9791666667\"; a date with its time of day, or a moment as " +
			"2026-03-09T07:30:00+01:00: the cell holds a number"},
		{59.5, "yyyy-mm-dd hh:mm", "found \"59.5\"; a date from 1900-03-01 to 9999"},
		{3e6, "yyyy-mm-dd hh:mm", "found \"3000000\"; a date from 1900-03-01 to 9999"},
	} {
		for _, from1904 := range []bool{false, true} {
			if v, number := c.value.(float64); number && from1904 && v < 60 {
				continue // a day of 1904 there
			}
			cells := join(weightHead, rowOf(2, id(1), "in-1", "weight", nil, "rn-1", 1210))
			data := bookOf(t, cells, func(f *excelize.File) {
				if err := f.SetWorkbookProps(&excelize.WorkbookPropsOptions{Date1904: &from1904}); err != nil {
					t.Fatal(err)
				}
				put(t, f, "Sheet1", at{"D2", c.value, c.format})
			})
			got := offered(readXLSX(t, vienna(t), data))
			want := `2 {"infant":"in-1","kind":"weight","at":"` + c.want + `","by":"rn-1","weightG":1210}` + "\n"
			if strings.HasPrefix(c.want, "found") {
				if want = "line 2: at: " + c.want; from1904 && strings.HasPrefix(c.want, "found \"4") {
					want = "line 2: at: found \"4" // another number for the same day
				}
			}
			if !strings.HasPrefix(got, want) {
				t.Errorf("%v as %q, from 1904 %v:\n%swant\n%s", c.value, c.format, from1904, got, want)
			}
		}
	}
}

// The day of a birth is a day cell; with its time it is a moment.
func TestXLSXBirth(t *testing.T) {
	for format, want := range map[string]string{"yyyy-mm-dd": `"2026-10-23"`, "yyyy-mm-dd hh:mm": `"2026-10-23T00:00:00+02:00"`} {
		cells := join(rowOf(1, "id", "infant", "kind", "at", "by", "born", "cot", "mrn", "gestation"),
			rowOf(2, id(1), "in-1", "admission", "2026-10-24T08:00:00+02:00", "rn-1", at{value: 46318, format: format}, "B7", "007", 26))
		got := offered(readXLSX(t, vienna(t), bookOf(t, cells)))
		if !strings.Contains(got, `"born":`+want+`,"cot":"B7","mrn":"007","gestation":"26"}`) {
			t.Errorf("%s: %s", format, got)
		}
	}
}

// Every minute of a day but midnight as a date cell, to the minute, whatever its binary fraction.
func TestXLSXMinutes(t *testing.T) {
	start := time.Date(2026, 7, 1, 0, 0, 0, 0, time.UTC)
	cells := weightHead
	const minutes = 24*60 - 1
	for m := range minutes {
		cells = append(cells, rowOf(m+2, id(m), "in-1", "weight", nil, "rn-1", 1210)...)
	}
	data := bookOf(t, cells, func(f *excelize.File) {
		format := "yyyy-mm-dd hh:mm"
		style, err := f.NewStyle(&excelize.Style{CustomNumFmt: &format})
		if err != nil {
			t.Fatal(err)
		}
		for m := range minutes {
			ref := "D" + strconv.Itoa(m+2)
			if err := errors.Join(f.SetCellStyle("Sheet1", ref, ref, style), f.SetCellValue("Sheet1", ref,
				start.Add(time.Duration(m+1)*time.Minute))); err != nil {
				t.Fatal(err)
			}
		}
	})
	o := readXLSX(t, vienna(t), data)
	if len(o.Entries) != minutes {
		t.Fatal(len(o.Entries), o.Issues)
	}
	for m, e := range o.Entries {
		if want := start.Add(time.Duration(m+1)*time.Minute).Format("2006-01-02T15:04:05") + "+02:00"; e.At.Text != want {
			t.Errorf("%s, want %s", e.At.Text, want)
		}
	}
}

// Whole wards of every kind of entry come through a workbook as they come through NDJSON: numbers as numbers in a format
// with their decimals, true and false as such, all else as text.
func TestWardsThroughXLSX(t *testing.T) {
	entries := wardEntries(t)
	names, rows := tableOf(t, entries)
	f := excelize.NewFile()
	defer f.Close() // nothing is left to lose
	styles := map[int]int{}
	w, err := f.NewStreamWriter("Sheet1")
	if err != nil {
		t.Fatal(err)
	}
	var header []any
	for _, n := range names {
		header = append(header, n)
	}
	if err := w.SetRow("A1", header); err != nil {
		t.Fatal(err)
	}
	numbers := 0
	for i, r := range rows {
		row := make([]any, len(r))
		for j, v := range r {
			switch s := cellText(t, v); {
			case len(v) == 0:
			case string(v) == "true" || string(v) == "false":
				row[j] = string(v) == "true"
			case strings.ContainsAny(string(v[0]), "-0123456789"):
				row[j] = numberCell(t, f, styles, s)
				numbers++
			default:
				row[j] = s
			}
		}
		if err := w.SetRow("A"+strconv.Itoa(i+2), row); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Flush(); err != nil {
		t.Fatal(err)
	}
	b, err := f.WriteToBuffer()
	if err != nil {
		t.Fatal(err)
	}
	sameEntries(t, readXLSX(t, vienna(t), b.Bytes()), entries)
	if numbers < 3000 {
		t.Errorf("only %d numbers", numbers)
	}
}

func numberCell(t testing.TB, f *excelize.File, styles map[int]int, s string) excelize.Cell {
	t.Helper()
	_, decimals, _ := strings.Cut(s, ".")
	style, ok := styles[len(decimals)]
	if !ok {
		format := strings.TrimSuffix("0."+strings.Repeat("0", len(decimals)), ".")
		var err error
		if style, err = f.NewStyle(&excelize.Style{CustomNumFmt: &format}); err != nil {
			t.Fatal(err)
		}
		styles[len(decimals)] = style
	}
	v, err := json.Number(s).Float64()
	if err != nil {
		t.Fatal(err)
	}
	return excelize.Cell{StyleID: style, Value: v}
}
