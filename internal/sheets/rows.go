package sheets

import (
	"bytes"
	"fmt"
	"strconv"

	"github.com/xuri/excelize/v2"
)

// rowWriter writes the rows of a sheet, so many at a time, by a file beside: its only sheet begins anew for each piece.
// What the library makes of a piece is packed at once; the sheet itself has what stands around the rows.
type rowWriter struct {
	file  *excelize.File
	taken *taken
	piece *excelize.StreamWriter // nil before its first row
	size  int                    // of its text, about
	most  int                    // that it may be
	links bytes.Buffer           // of all pieces of the sheet
	to    *packing
}

const (
	onlySheet = "Sheet1"  // the library's name for that of a new file
	pieceSize = 256 << 10 // also with a row of the longest texts far from 16 MiB, where the library makes temporary files
	cellSize  = 64        // about that of a cell without its text
)

func newRowWriter(t *taken, to *packing) *rowWriter {
	f := excelize.NewFile()
	f.Theme, f.Styles = nil, nil // else they are written with each piece, and thrown away
	return &rowWriter{file: f, taken: t, most: pieceSize, to: to}
}

// link makes a cell of the next row lead to another.
func (r *rowWriter) link(cell, to string) error {
	return r.file.SetCellHyperLink(onlySheet, cell, to, "Location")
}

// write writes a row of cells whose texts are so long together.
func (r *rowWriter) write(row int, cells []any, texts int, height float64) error {
	if r.piece == nil {
		var err error
		if r.piece, err = r.file.NewStreamWriter(onlySheet); err != nil {
			return err
		}
	}
	if err := r.piece.SetRow("A"+strconv.Itoa(row), cells, excelize.RowOpts{Height: height}); err != nil {
		return err
	}
	if r.size += texts + cellSize*len(cells); r.size < r.most {
		return nil
	}
	return r.end()
}

// end hands on the rows of the last piece, and keeps its links.
func (r *rowWriter) end() error {
	if r.piece == nil {
		return nil
	}
	text, err := r.taken.sheet(r.file, r.piece)
	if err != nil {
		return err
	}
	r.piece, r.size = nil, 0
	_, text, begins := bytes.Cut(text, []byte(rowsBegin))
	ends := bytes.LastIndex(text, []byte(rowsEnd)) // little stands after it
	if !begins || ends < 0 {
		return fmt.Errorf("rows without %s and %s", rowsBegin, rowsEnd)
	}
	r.to.Write(text[:ends]) // into memory
	if _, links, ok := bytes.Cut(text[ends:], []byte(linksBegin)); ok {
		links, _, _ = bytes.Cut(links, []byte(linksEnd))
		r.links.Write(links)
	}
	return nil
}
