package cli

import (
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"syscall"
	"unicode"

	"cotline/internal/journal"
)

// hidden says whether a character shows nothing, or changes how those beside it show:
// controls, formats such as direction marks, and separators of lines.
func hidden(r rune) bool {
	return !unicode.IsPrint(r) && r != ' '
}

// oneLine is a text fit for a line of a terminal: line breaks are told by semicolons,
// what is hidden by its number.
func oneLine(s string) string {
	s = strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == '\n' || r == '\r' }), "; ")
	if strings.IndexFunc(s, hidden) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		switch {
		case unicode.IsSpace(r):
			b.WriteByte(' ')
		case hidden(r):
			fmt.Fprintf(&b, "(U+%04X)", r)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// obstacle is what stops a disk or a database, in words, and what to do.
type obstacle struct{ words, next string }

var (
	diskFull = obstacle{"the disk is full", "make room and try again"}
	readOnly = obstacle{"the disk, or the folder, cannot be written to", "check that it may be written, or name another place"}
	tooBig   = obstacle{"the file is too big for its disk", "name another place"}
	gone     = obstacle{"the file is gone, or its disk is", "check the name and the disk"}
	absent   = obstacle{"there is no such file or folder", "check the name"}
	unsound  = obstacle{"the disk cannot be read or written", "check the disk, and run cotline verify"}
	denied   = obstacle{"this user may not", "check who may read and write it"}
	busy     = obstacle{"another program holds it", "try again"}
	many     = obstacle{"too many files are open", "close other programs and try again"}
	longName = obstacle{"the name is too long", "give a shorter one"}
	noMemory = obstacle{"the memory is full", "close other programs and try again"}
	odd      = obstacle{"the database cannot be used", "run cotline verify"}
)

// byNumber are the errors of the system.
var byNumber = []struct {
	is error
	obstacle
}{
	{syscall.ENOSPC, diskFull}, {syscall.EDQUOT, diskFull}, {syscall.EROFS, readOnly}, {syscall.EFBIG, tooBig},
	{syscall.EIO, unsound}, {syscall.ENXIO, gone}, {syscall.ENODEV, gone}, {syscall.ESTALE, gone},
	{syscall.EMFILE, many}, {syscall.ENFILE, many}, {syscall.ENAMETOOLONG, longName}, {syscall.ENOMEM, noMemory},
	{syscall.EBUSY, busy}, {syscall.ETXTBSY, busy},
	{syscall.ENOTDIR, absent}, {fs.ErrNotExist, absent}, {fs.ErrPermission, denied},
}

// byCode are SQLite's own, by primary result code (sqlite.org/rescode.html).
var byCode = map[int]obstacle{
	3: denied, 5: busy, 6: busy, 7: noMemory, 8: readOnly, 10: unsound, 13: diskFull, 14: gone, 18: tooBig, 23: denied,
}

// obstacleOf is what stopped a disk or a database, if that is what an error is. Of a
// database it is told whatever it is: the driver's own words hold numbers.
func obstacleOf(err error) (o obstacle, ok bool) {
	for _, known := range byNumber {
		if errors.Is(err, known.is) {
			return known.obstacle, true
		}
	}
	var coded interface{ Code() int }
	if errors.As(err, &coded) {
		if o, ok = byCode[coded.Code()&0xff]; !ok {
			o = odd
		}
		return o, true
	}
	return o, errors.Is(err, journal.ErrFull)
}

// about is what an error is of: the record or the file that somebody named.
func about(err error) string {
	var r recordError
	if errors.As(err, &r) {
		return "record " + r.path
	}
	var at *fs.PathError
	if errors.As(err, &at) {
		return at.Path
	}
	return ""
}

// recordError is an error of a record, by the name it was given.
type recordError struct {
	path string
	err  error
}

func (r recordError) Error() string { return "record " + r.path + ": " + r.err.Error() }
func (r recordError) Unwrap() error { return r.err }

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	if strings.HasSuffix(what, "y") {
		what = strings.TrimSuffix(what, "y") + "ie"
	}
	return fmt.Sprintf("%d %ss", n, what)
}
