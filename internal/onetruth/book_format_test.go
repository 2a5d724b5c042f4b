package onetruth

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"strings"
	"testing"
)

// formatsOf are the number formats of a sheet's cells by reference (ISO/IEC
// 29500-1, 18.8.30): where a spreadsheet keeps that 5.0 is not 5, and a day no
// midnight.
func formatsOf(t testing.TB, book []byte, sheet string) map[string]string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		t.Fatal(err)
	}
	part := func(name string, into any) {
		f, err := z.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(f)
		if err != nil {
			t.Fatal(err)
		}
		if err := xml.Unmarshal(text, into); err != nil {
			t.Fatal(name, err)
		}
	}
	var styles struct {
		Formats []struct {
			ID   int    `xml:"numFmtId,attr"`
			Code string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Cells []struct {
			Format int `xml:"numFmtId,attr"`
		} `xml:"cellXfs>xf"`
	}
	part("xl/styles.xml", &styles)
	var names struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
		} `xml:"sheets>sheet"`
	}
	part("xl/workbook.xml", &names)
	codes := map[int]string{}
	for _, f := range styles.Formats {
		codes[f.ID] = f.Code
	}
	out := map[string]string{}
	for i, s := range names.Sheets {
		if s.Name != sheet {
			continue
		}
		var cells struct {
			Cells []struct {
				Ref   string `xml:"r,attr"`
				Style int    `xml:"s,attr"`
			} `xml:"sheetData>row>c"`
		}
		part(fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), &cells)
		for _, c := range cells.Cells {
			out[c.Ref] = codes[styles.Cells[c.Style].Format]
		}
	}
	return out
}

// shown is a number as a format like 0.00 shows it.
func shown(number, format string) string {
	whole, fraction, _ := strings.Cut(number, ".")
	_, zeros, _ := strings.Cut(format, ".")
	if len(fraction) >= len(zeros) {
		return number
	}
	return whole + "." + fraction + strings.Repeat("0", len(zeros)-len(fraction))
}
