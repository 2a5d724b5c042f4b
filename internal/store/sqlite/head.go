package sqlite

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"cotline/internal/journal"
)

// The head file stands beside the record and says where the record ended when it
// was last written to, so that entries which go with a lost or damaged write-ahead
// file, or with an older copy put in place of the record, are missed. It is text:
// two lines a unit, each
//
//	head 1 UNIT SERIAL POSITION CHAIN CHECK
//
// UNIT the first 16 hex digits of the SHA-256 of the unit's key, CHECK those of
// what stands before it. The line of the greater serial holds. A commit overwrites
// the other one in place and syncs it, so that a crash in writing leaves the line
// before. It is written under the record's write lock, with the head as it is then,
// so that a slower writer never puts an older head over a newer one.

// HeadOf is the path of a record's head file.
func HeadOf(record string) string { return record + ".head" }

// marksOf is what the head file of a record's traces is named after.
func marksOf(record string) string { return record + ".trace" }

// Beside are the files that stand beside a record, and go where it goes: they say where it
// and its traces ended.
func Beside(record string) []string { return []string{HeadOf(record), HeadOf(marksOf(record))} }

// headLine is a line of the head file.
type headLine struct {
	unit   string
	serial int64
	head   journal.Head
}

const headFormat = "head 1 %s %020d %020d %s "

var headLength = len(headLine{unit: unitOf("")}.text())

func unitOf(unit string) string {
	sum := sha256.Sum256([]byte(unit))
	return hex.EncodeToString(sum[:8])
}

func (l headLine) text() string {
	text := fmt.Sprintf(headFormat, l.unit, l.serial, l.head.Position, l.head.Chain)
	sum := sha256.Sum256([]byte(text))
	return text + hex.EncodeToString(sum[:8]) + "\n"
}

// parseHead is a line, and whether it is one.
func parseHead(text []byte) (l headLine, ok bool) {
	var chain string
	if _, err := fmt.Sscanf(string(text), headFormat, &l.unit, &l.serial, &l.head.Position, &chain); err != nil {
		return l, false
	}
	b, err := hex.DecodeString(chain)
	if err != nil || len(b) != len(l.head.Chain) {
		return l, false
	}
	copy(l.head.Chain[:], b)
	return l, l.text() == string(text)
}

// headFile is the head file as read; lines that cannot be read have no unit.
type headFile struct{ lines []headLine }

// mostHead is more than the head file of any store: of 200 units.
const mostHead = 1 << 16

func readHead(record string) (headFile, error) {
	info, err := os.Stat(HeadOf(record))
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return headFile{}, nil
	case err != nil:
		return headFile{}, err
	case info.Size() == 0: // killed before its first line
		return headFile{}, nil
	case !info.Mode().IsRegular() || info.Size() > mostHead:
		return headFile{lines: []headLine{{}}}, nil
	}
	text, err := os.ReadFile(HeadOf(record))
	if err != nil {
		return headFile{}, err
	}
	var f headFile
	for chunk := range slices.Chunk(text, headLength) {
		l, ok := parseHead(chunk)
		if !ok {
			l = headLine{}
		}
		f.lines = append(f.lines, l)
	}
	return f, nil
}

// newest is the line that holds for a unit, and its place; spoilt says that a line
// cannot be read.
func (f headFile) newest(unit string) (l headLine, at int, spoilt bool) {
	at = -1
	for i, line := range f.lines {
		spoilt = spoilt || line.unit == ""
		if line.unit == unitOf(unit) && (at < 0 || line.serial > l.serial) {
			l, at = line, i
		}
	}
	return l, at, spoilt
}

// mark is what the head file says of a unit.
func (f headFile) mark(unit string) journal.Mark {
	l, at, spoilt := f.newest(unit)
	switch {
	case at >= 0:
		return journal.Mark{State: journal.Marked, Head: l.head}
	case spoilt:
		return journal.Mark{State: journal.MarkSpoilt}
	}
	return journal.Mark{}
}

// writeHead puts a unit's head in place of the older of its lines.
func writeHead(record, unit string, head journal.Head) error {
	f, err := readHead(record)
	if err != nil {
		return err
	}
	l, at, spoilt := f.newest(unit)
	next := headLine{unitOf(unit), l.serial + 1, head}.text()
	if at >= 0 {
		return putHead(record, at^1, next)
	}
	if spoilt { // no line of the unit can be read: begun anew
		if err := removeHead(record); err != nil {
			return err
		}
		f.lines = nil
	}
	return putHead(record, len(f.lines), next+next)
}

// putHead writes text from a line on, and syncs it, and the folder of a file
// that is new.
func putHead(record string, line int, text string) (err error) {
	path := HeadOf(record)
	_, err = os.Stat(path)
	made := errors.Is(err, fs.ErrNotExist)
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, f.Close()) }()
	if _, err := f.WriteAt([]byte(text), int64(line*headLength)); err != nil {
		return err
	}
	if err := f.Sync(); err != nil {
		return err
	}
	if made {
		return syncFolder(filepath.Dir(path))
	}
	return nil
}

// syncFolder makes a new name in a folder last. Not every system can.
func syncFolder(dir string) error {
	d, err := os.Open(dir)
	if err != nil {
		return nil
	}
	d.Sync() // the file is there all the same
	return d.Close()
}

// SpoiltHead says what of the head file cannot be read, empty when all can.
func SpoiltHead(record string) string {
	f, err := readHead(record)
	if err != nil {
		return err.Error()
	}
	if slices.ContainsFunc(f.lines, func(l headLine) bool { return l.unit == "" }) {
		return "a line of the head file, " + filepath.Base(HeadOf(record)) + ", cannot be read"
	}
	return ""
}

// removeHead is for a record that is made anew at a path.
func removeHead(record string) error {
	if err := os.Remove(HeadOf(record)); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}
