package sheets

import (
	"io"
	"strings"
	"time"

	"github.com/xuri/excelize/v2"
)

// finish sets the document's properties and writes the file.
func (b *book) finish(w io.Writer, at time.Time, version string) error {
	made, by := at.UTC().Format(time.RFC3339), strings.TrimSpace("cotline "+version)
	if err := b.file.SetDocProps(&excelize.DocProperties{Title: b.document, Creator: by, LastModifiedBy: by, Created: made,
		Modified: made}); err != nil {
		return err
	}
	if err := b.file.SetAppProps(&excelize.AppProperties{Application: "cotline"}); err != nil {
		return err
	}
	b.file.SetZipWriter(func(io.Writer) excelize.ZipWriter { return b.archive })
	if _, err := b.file.WriteToBuffer(); err != nil { // of the archive; the buffer stays empty
		return err
	}
	return b.archive.write(w)
}
