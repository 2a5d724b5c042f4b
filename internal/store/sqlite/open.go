package sqlite

import (
	"context"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"cotline/internal/journal"
)

// settings of a record that can be written to. What is read is held to what a page
// may hold (sqlite.org/pragma.html, cell_size_check).
const settings = "_pragma=busy_timeout(10000)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_pragma=cell_size_check(1)" +
	"&_txlock=immediate"

// Open opens the file at path. Create makes one that is not there, readable by its
// owner alone; else a missing file is fs.ErrNotExist. Only writing changes a file:
// tables of an older version are brought up to date by the first Write. A file that
// cannot be written to, or whose folder cannot, is opened for reading.
func Open(ctx context.Context, path string, create bool) (*Store, error) {
	return open(ctx, path, create, settings)
}

func open(ctx context.Context, path string, create bool, settings string) (*Store, error) {
	info, err := os.Stat(path) // a pipe would wait for its other end
	if errors.Is(err, fs.ErrNotExist) && create {
		if err := makeFile(ctx, path); err != nil {
			return nil, told(err)
		}
		info, err = os.Stat(path)
	}
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, fmt.Errorf("%w: it is a %s", journal.ErrForeign, kindOf(info.Mode()))
	case info.Size() == 0:
		return nil, fmt.Errorf("%w: it is empty", journal.ErrForeign)
	}
	s, err := connect(ctx, path, path, settings)
	if err != nil && (errors.Is(err, journal.ErrReadOnly) || errors.Is(err, fs.ErrPermission)) {
		return openReadOnly(ctx, path, settings)
	}
	return s, err
}

func kindOf(mode fs.FileMode) string {
	switch {
	case mode.IsDir():
		return "folder"
	case mode&fs.ModeNamedPipe != 0:
		return "pipe"
	case mode&fs.ModeSocket != 0:
		return "socket"
	}
	return "device"
}

// connect opens the file of a record, which may be a copy of it.
func connect(ctx context.Context, record, file, settings string) (*Store, error) {
	name, err := dataSource(file, settings)
	if err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", name)
	if err != nil {
		return nil, err
	}
	s := &Store{db: db, path: record, turn: make(chan struct{}, 1)}
	if s.version, err = versionOf(ctx, db); err != nil {
		db.Close()
		if err = damaged(err); errors.Is(err, journal.ErrForeign) && ours(record, file) {
			return nil, fmt.Errorf("%w: its first page tells that it is none, and it was one", journal.ErrDamaged)
		}
		return nil, err
	}
	return s, nil
}

// ours says whether a file that tells that it is no record was one: its head file is
// there, or the mark of this program is where the header of the format has it.
func ours(record, file string) bool {
	if _, err := os.Stat(HeadOf(record)); err == nil {
		return true
	}
	f, err := os.Open(file)
	if err != nil {
		return false
	}
	defer f.Close()   // it was only read
	const offset = 68 // sqlite.org/fileformat2.html, application ID
	mark := make([]byte, 4)
	_, err = f.ReadAt(mark, offset)
	return err == nil && binary.BigEndian.Uint32(mark) == applicationID
}

// openReadOnly opens a record that cannot be written to. SQLite wants to write
// beside it even to read (sqlite.org/wal.html, read-only databases), unless it is
// told that nobody changes the file; where a write-ahead file holds entries that
// are not in it yet, both are read from a copy.
func openReadOnly(ctx context.Context, path, settings string) (*Store, error) {
	readOnly := strings.Replace(settings, "&_txlock=immediate", "", 1) + "&mode=ro"
	if s, err := connect(ctx, path, path, readOnly); err == nil {
		return s, nil // another user writes to it now
	}
	return openAside(ctx, path, settings, readOnly)
}

func openAside(ctx context.Context, path, settings, readOnly string) (*Store, error) {
	wal, err := os.Stat(path + "-wal")
	if err != nil || wal.Size() == 0 {
		return connect(ctx, path, path, readOnly+"&immutable=1")
	}
	dir, err := os.MkdirTemp("", ".cotline-*") // for its owner alone
	if err != nil {
		return nil, err
	}
	file := filepath.Join(dir, "record")
	for _, end := range []string{"", "-wal"} {
		if err := copyFile(path+end, file+end); err != nil {
			os.RemoveAll(dir) // the first error counts
			return nil, err
		}
	}
	s, err := connect(ctx, path, file, settings)
	if err != nil {
		os.RemoveAll(dir) // the first error counts
		return nil, err
	}
	s.remove = dir
	return s, nil
}

func copyFile(from, to string) (err error) {
	in, err := os.Open(from)
	if err != nil {
		return err
	}
	defer in.Close() // it was only read
	out, err := os.OpenFile(to, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return err
	}
	_, err = io.Copy(out, in)
	return errors.Join(err, out.Close())
}

// dataSource is the file as an absolute URI, so that no character of its path is
// read as a setting.
func dataSource(path, settings string) (string, error) {
	whole, err := filepath.Abs(path)
	if err != nil {
		return "", err
	}
	whole = filepath.ToSlash(whole)
	if !strings.HasPrefix(whole, "/") { // a drive letter
		whole = "/" + whole
	}
	u := url.URL{Scheme: "file", Path: whole, RawQuery: settings}
	return u.String(), nil
}
