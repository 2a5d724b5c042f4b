package sheets

import (
	"archive/zip"
	"io"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"
)

// BenchmarkWorkbook writes the demo ward, and beside it the same cells with a plain writer that appends their XML and
// compresses it the same way: the ratio is what the spreadsheet library, the widths and the checks cost.
func BenchmarkWorkbook(b *testing.B) {
	d := demoWard(b)
	for b.Loop() {
		if err := Workbook(io.Discard, d.handover, d.entries, d.policy, "x"); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkPlainWriter(b *testing.B) {
	d := demoWard(b)
	for b.Loop() {
		plain(b, d)
	}
}

// plain appends every cell as XML into a ZIP file, no more.
func plain(b *testing.B, d demo) {
	z := zip.NewWriter(io.Discard)
	for _, s := range sheetsOf(d.handover, d.entries, d.policy, "x") {
		w, err := z.Create(s.name)
		if err != nil {
			b.Fatal(err)
		}
		var buf []byte
		n := headerRow
		for _, cells := range s.rows {
			n++
			buf = append(buf, `<row r="`...)
			buf = append(strconv.AppendInt(buf, int64(n), 10), `">`...)
			for i, c := range cells {
				ref, _ := excelize.CoordinatesToCellName(i+1, n)
				buf = append(append(append(buf, `<c r="`...), ref...), `" s="1"`...)
				switch c.show {
				case showNumber:
					buf = append(append(append(buf, `><v>`...), c.number.String()...), `</v></c>`...)
				case showMoment, showDay:
					buf = append(append(append(buf, `><v>`...), strconv.FormatFloat(float64(c.when.Unix())/86400, 'f', -1, 64)...), `</v></c>`...)
				default:
					buf = append(append(append(buf, ` t="inlineStr"><is><t>`...), c.text...), `</t></is></c>`...)
				}
			}
			buf = append(buf, `</row>`...)
			if len(buf) > 1<<16 {
				if _, err := w.Write(buf); err != nil {
					b.Fatal(err)
				}
				buf = buf[:0]
			}
		}
		if _, err := w.Write(buf); err != nil {
			b.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		b.Fatal(err)
	}
}
