package sheets

import (
	"bytes"
	"errors"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

// A sheet of more than 16 MiB, of which the spreadsheet library would keep a temporary file, is written without one, also
// where it cannot be written out. Whatever is made in a folder, and be it for a moment, changes the folder's time.
func TestNoTemporaryFileIsMade(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	before := time.Date(2026, 10, 25, 0, 0, 0, 0, time.UTC)
	if err := os.Chtimes(dir, before, before); err != nil {
		t.Fatal(err)
	}
	h := byHand(t)
	first := wardtest.Entry(t, []byte(wardtest.EntryLine(1, "", "note", "2026-10-20T16:00:00+02:00",
		`"text":"`+strings.Repeat("lullaby ", 500)+`"`)))
	var notes []*entry.Entry
	for i := range excelize.StreamChunkSize/4000 + 10 {
		note := *first
		note.ID = wardtest.EntryID(i)
		notes = append(notes, &note)
	}
	p := wardtest.Policy(t, []byte("unit: Sorrel unit\n"))
	for _, c := range []struct {
		name string
		to   io.Writer
		want error
	}{{"written", new(bytes.Buffer), nil}, {"a full disk", fullDisk{}, errDisk}} {
		if err := Workbook(c.to, h, notes, p, "x"); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
		if info, err := os.Stat(dir); err != nil || !info.ModTime().Equal(before) {
			t.Errorf("%s: a file was made beside, %v", c.name, err)
		}
	}
}

var errDisk = errors.New("disk full")

type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errDisk }
