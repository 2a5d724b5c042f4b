package sheets

import (
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

// Above 16 MiB of a sheet the spreadsheet library keeps a temporary file: none is left behind, written or not.
func TestNoTemporaryFileIsLeft(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
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
	}{{"written", &watched{dir: dir}, nil}, {"a full disk", &watched{dir: dir, err: errDisk}, errDisk}} {
		if err := Workbook(c.to, h, notes, p, "x"); !errors.Is(err, c.want) {
			t.Errorf("%s: %v", c.name, err)
		}
		if !c.to.(*watched).seen {
			t.Errorf("%s: no temporary file was made, so this test shows nothing", c.name)
		}
		if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
			t.Errorf("%s: left behind: %v %v", c.name, left, err)
		}
	}
}

var errDisk = errors.New("disk full")

// watched is where a workbook goes; it looks for temporary files while it is written, and that only the owner may read
// them.
type watched struct {
	dir  string
	err  error
	seen bool
}

func (w *watched) Write(p []byte) (int, error) {
	files, err := os.ReadDir(w.dir)
	if err != nil {
		return 0, err
	}
	for _, f := range files {
		info, err := f.Info()
		if err != nil {
			return 0, err
		}
		if info.Mode().Perm() != 0o600 {
			return 0, fmt.Errorf("%s is readable by others", f.Name())
		}
		w.seen = true
	}
	return len(p), w.err
}
