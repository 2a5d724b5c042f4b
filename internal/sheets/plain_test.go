package sheets

import (
	"archive/zip"
	"io"
	"strconv"
	"testing"

	"github.com/xuri/excelize/v2"
)

// writePlain is the least that writes these cells: it appends each as XML, in one thread, and compresses as archive/zip
// does. It measures no widths, checks nothing, and makes no table, chart or style.
func writePlain(t testing.TB, to io.Writer, sheets []sheet) {
	z := zip.NewWriter(to)
	for _, s := range sheets {
		w, err := z.Create(s.name)
		if err != nil {
			t.Fatal(err)
		}
		columns := make([]string, len(s.heads))
		for i := range columns {
			columns[i], _ = excelize.ColumnNumberToName(i + 1)
		}
		var buf []byte
		row := int64(headerRow)
		for _, cells := range s.rows {
			row++
			buf = append(strconv.AppendInt(append(buf, `<row r="`...), row, 10), `">`...)
			for i, c := range cells {
				buf = append(append(buf, `<c r="`...), columns[i]...)
				buf = append(strconv.AppendInt(buf, row, 10), `" s="1"`...)
				buf = appendPlain(buf, c)
			}
			buf = append(buf, `</row>`...)
			if len(buf) > 1<<16 {
				if _, err := w.Write(buf); err != nil {
					t.Fatal(err)
				}
				buf = buf[:0]
			}
		}
		if _, err := w.Write(buf); err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
}

func appendPlain(buf []byte, c cell) []byte {
	switch c.show {
	case showNumber:
		return append(append(append(buf, `><v>`...), c.number.String()...), `</v></c>`...)
	case showMoment, showDay:
		return append(strconv.AppendFloat(append(buf, `><v>`...), serial(c), 'f', -1, 64), `</v></c>`...)
	}
	buf = append(buf, ` t="inlineStr"><is><t>`...)
	for i := range len(c.text) {
		switch x := c.text[i]; x {
		case '<':
			buf = append(buf, "&lt;"...)
		case '>':
			buf = append(buf, "&gt;"...)
		case '&':
			buf = append(buf, "&amp;"...)
		default:
			buf = append(buf, x)
		}
	}
	return append(buf, `</t></is></c>`...)
}

// serial is a moment or day as the format counts it: days since 1899-12-30, of the clock's time.
func serial(c cell) float64 {
	_, offset := c.when.Zone()
	return float64(c.when.Unix()+int64(offset))/86400 + 25569
}
