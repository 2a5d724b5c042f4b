package sheets

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"

	"github.com/xuri/excelize/v2"
)

// taken takes a sheet out of a file once it is written, and leaves all else. The library would keep it until the file is
// closed: up to 16 MiB of its text, what stands above that in a temporary file, and each of its links.
type taken struct {
	part string
	text bytes.Buffer
}

// What the library writes around rows and around links, and what it writes after these. In a cell's text each would be
// escaped.
const (
	rowsBegin  = "<sheetData>"
	rowsEnd    = "</sheetData>"
	linksBegin = "<hyperlinks>"
	linksEnd   = "</hyperlinks>"
	afterLinks = "<pageMargins "
)

// sheet ends a sheet and takes its text, which holds until the next is taken. The file may go on with another.
func (t *taken) sheet(f *excelize.File, w *excelize.StreamWriter) ([]byte, error) {
	if err := w.Flush(); err != nil {
		return nil, err
	}
	t.part = partOf(w)
	t.text.Reset()
	f.SetZipWriter(func(io.Writer) excelize.ZipWriter { return t })
	if _, err := f.WriteToBuffer(); err != nil { // the buffer stays empty
		return nil, err
	}
	return t.text.Bytes(), f.Close() // the file forgets what was streamed
}

// partOf is the name of a sheet's part.
func partOf(w *excelize.StreamWriter) string {
	return fmt.Sprintf("xl/worksheets/sheet%d.xml", w.SheetID)
}

// Create begins a part. It is of the library's interface, as are Close and AddFS.
func (t *taken) Create(name string) (io.Writer, error) {
	if name == t.part {
		return &t.text, nil
	}
	return io.Discard, nil
}

func (t *taken) Close() error { return nil }

func (t *taken) AddFS(fs.FS) error { return nil }
