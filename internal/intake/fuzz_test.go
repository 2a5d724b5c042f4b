package intake_test

import (
	"archive/zip"
	"bytes"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"cotline/handover/entry"
	"cotline/internal/intake"
)

// fit fails unless issues fit a line each and hold nothing that a terminal obeys.
func fit(t *testing.T, issues []entry.Issue) {
	for _, i := range issues {
		if s := i.String(); i.Code == "" || len(s) > 8000 || strings.ContainsAny(s, "\n\r\x1b\x00") {
			t.Errorf("not fit for a line: %q", s)
		}
	}
}

// Whatever a sheet's XML holds, the workbook is read as entries or refused with issues
// that fit a line each.
func FuzzXLSXSheet(f *testing.F) {
	book := excelize.NewFile()
	for cell, v := range map[string]any{"A1": "id", "B1": "kind", "C1": "at", "D1": "by", "E1": "weightG",
		"A2": "00000000-0000-4000-8000-000000000001", "B2": "weight", "C2": 46000.5, "E2": 1210} {
		if err := book.SetCellValue("Sheet1", cell, v); err != nil {
			f.Fatal(err)
		}
	}
	whole, err := book.WriteToBuffer()
	if err != nil {
		f.Fatal(err)
	}
	parts, err := zip.NewReader(bytes.NewReader(whole.Bytes()), int64(whole.Len()))
	if err != nil {
		f.Fatal(err)
	}
	f.Add(
		[]byte(
			`<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><t>id</t></is></c></row><row r="2"><c ` +
				`r="A2"><f>A1</f><v>1</v></c></row></sheetData><mergeCells><mergeCell ref="A1:B2"/></mergeCells></worksheet>`,
		),
	)
	f.Add(
		[]byte(
			`<worksheet><cols><col min="1" max="99999" hidden="1"/></cols><sheetData><row r="1048577"><c r="XFE1" ` +
				`t="s"><v>-1</v></c></row></sheetData></worksheet>`,
		),
	)
	f.Fuzz(func(t *testing.T, sheet []byte) {
		var out bytes.Buffer
		z := zip.NewWriter(&out)
		for _, p := range parts.File {
			if p.Name != "xl/worksheets/sheet1.xml" {
				if err := z.Copy(p); err != nil {
					t.Fatal(err)
				}
			}
		}
		w, err := z.Create("xl/worksheets/sheet1.xml")
		if err != nil {
			t.Fatal(err)
		}
		w.Write(sheet) // in memory
		if err := z.Close(); err != nil {
			t.Fatal(err)
		}
		o, err := intake.XLSX(bytes.NewReader(out.Bytes()), int64(out.Len()), intake.Tables{Zone: time.UTC})
		if err != nil {
			t.Error(err)
		}
		fit(t, o.Issues)
	})
}

// Whatever a workbook's bytes are, it is read or refused.
func FuzzXLSX(f *testing.F) {
	var out bytes.Buffer
	if err := excelize.NewFile().Write(&out); err != nil {
		f.Fatal(err)
	}
	f.Add(out.Bytes())
	f.Add([]byte("PK\x05\x06" + strings.Repeat("\x00", 18)))
	f.Fuzz(func(t *testing.T, book []byte) {
		o, err := intake.XLSX(bytes.NewReader(book), int64(len(book)), intake.Tables{Zone: time.UTC})
		if err != nil {
			t.Error(err)
		}
		fit(t, o.Issues)
	})
}

// Whatever a map, a policy or a list of codings is, it is read or refused, by line.
func FuzzSettings(f *testing.F) {
	for _, text := range []string{
		"sheet: Night weights\nsource: scales\ncolumns: {Weighed: at, \"Weight (g)\": weightG}\nfixed: {kind: weight, by: " +
			"rn-1}\nignore: [Scale]\n",
		"unit: x\nevery: {head: 7d}\n", "mask: [{system: \"http://a.example\", code: b, display: c}]\n", "a: &x [*x]\n",
		"? {a: b}\n", "{{{{", "%YAML 1.2\n---\n~\n",
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		m, issues := intake.ReadMapping(text)
		fit(t, issues)
		if m != nil && len(issues) == 0 {
			o, err := intake.CSV(strings.NewReader("id,kind\n1,weight\n"), intake.Tables{Zone: time.UTC, Mapping: m})
			if err != nil {
				t.Error(err)
			}
			fit(t, o.Issues)
		}
		_, issues = intake.Policy(text)
		fit(t, issues)
		_, issues = intake.Codes(text)
		fit(t, issues)
	})
}
