// Package sqlite keeps journals in one SQLite file.
//
// The file is in write-ahead mode with synchronous FULL: a commit is synced to
// the disk before it returns, so what was taken survives a power cut
// (sqlite.org/pragma.html, synchronous; sqlite.org/wal.html). Writers take the
// write lock when their transaction begins, not at its first write, and wait for
// each other; readers see one state and wait for nobody. Triggers refuse to
// change or remove a row. Beside the record stands its head file, see head.go.
// Settings stand in the data source name, because a pragma reaches one connection of
// the pool only.
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
	"sync"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"cotline/internal/journal"
)

// Store is one SQLite file. It is safe for use by several goroutines, and
// several processes may have it open.
type Store struct {
	db      *sql.DB
	path    string
	ready   sync.Mutex // of version
	version int        // of its tables
	remove  string     // a folder that holds a copy, where it must be read from one
	turn    chan struct{}
}

var _ journal.Store = (*Store)(nil)

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

// Close closes the file.
func (s *Store) Close() error {
	err := told(s.db.Close())
	if s.remove != "" {
		err = errors.Join(err, os.RemoveAll(s.remove))
	}
	return err
}

// Write keeps the contract of journal.Store.
func (s *Store) Write(ctx context.Context, unit string, do func(journal.Tx) error) error {
	if s.remove != "" {
		return journal.ErrReadOnly
	}
	if err := s.upToDate(ctx); err != nil {
		return err
	}
	done, err := s.turns(ctx)
	if err != nil {
		return err
	}
	defer done()
	f, err := readHead(s.path)
	if err != nil {
		return err
	}
	t, err := s.db.BeginTx(ctx, nil) // immediate, by _txlock
	if err != nil {
		return told(err)
	}
	defer t.Rollback() // after a commit there is nothing to undo
	x := &tx{ctx: ctx, tx: t, unit: unit, version: s.version, mark: f.mark(unit), statements: map[string]*sql.Stmt{}}
	if err := do(x); err != nil {
		return err
	}
	if err := t.Commit(); err != nil {
		return told(err)
	}
	if !x.appended {
		return nil
	}
	if err := s.witness(unit); err != nil {
		return &journal.Unproven{Why: "the head file could not be written (" + err.Error() +
			"): whether newer entries get lost cannot be told until it is"}
	}
	return nil
}

// turns waits for the turn to write. Writers of this process wait for each other here, in
// order: SQLite's own lock, which other processes wait for, is asked for again after a while,
// so that whoever waits there long comes after who has just begun.
func (s *Store) turns(ctx context.Context) (done func(), err error) {
	select {
	case s.turn <- struct{}{}:
		return func() { <-s.turn }, nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// witness writes the head file, with no other writer in the record. What was
// committed is not undone, so no signal stops it.
func (s *Store) witness(unit string) error {
	ctx := context.Background()
	t, err := s.db.BeginTx(ctx, nil)
	if err != nil {
		return told(err)
	}
	defer t.Rollback() // nothing was written
	head, err := (&tx{ctx: ctx, tx: t, unit: unit, version: s.version, statements: map[string]*sql.Stmt{}}).Head()
	if err != nil {
		return err
	}
	return writeHead(s.path, unit, head)
}

// Read keeps the contract of journal.Store.
func (s *Store) Read(ctx context.Context, unit string, do func(journal.View) error) error {
	f, err := readHead(s.path)
	if err != nil {
		return err
	}
	t, err := s.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true}) // deferred: a snapshot
	if err != nil {
		return told(err)
	}
	defer t.Rollback() // nothing was written
	return do(&tx{ctx: ctx, tx: t, unit: unit, version: s.version, mark: f.mark(unit), statements: map[string]*sql.Stmt{}})
}

// Check runs SQLite's own look through the file.
func (s *Store) Check(ctx context.Context) error {
	rows, err := s.db.QueryContext(ctx, "PRAGMA integrity_check(1)")
	if err != nil {
		return told(err)
	}
	defer rows.Close()
	for rows.Next() {
		var what string
		if err := rows.Scan(&what); err != nil {
			return told(err)
		}
		if what != "ok" {
			return fmt.Errorf("%w: %s", journal.ErrDamaged, strings.ReplaceAll(what, "\n", "; "))
		}
	}
	if err := rows.Err(); err != nil {
		return told(err)
	}
	return s.sameTables(ctx)
}

// told adds what journal calls an error of SQLite.
func told(err error) error {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return err
	}
	switch e.Code() & 0xff { // the primary result code
	case sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_ERROR, sqlite3.SQLITE_FORMAT, sqlite3.SQLITE_MISMATCH,
		sqlite3.SQLITE_RANGE, sqlite3.SQLITE_TOOBIG, sqlite3.SQLITE_CONSTRAINT, sqlite3.SQLITE_INTERNAL:
		// The statements are this program's, and sound: what fails in them is the file.
		return fmt.Errorf("%w: %w", journal.ErrDamaged, err)
	case sqlite3.SQLITE_READONLY, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_PERM:
		return fmt.Errorf("%w: %w", journal.ErrReadOnly, err)
	case sqlite3.SQLITE_NOTADB:
		return fmt.Errorf("%w: %w", journal.ErrForeign, err)
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED:
		return fmt.Errorf("%w: %w", journal.ErrBusy, err)
	case sqlite3.SQLITE_FULL:
		return fmt.Errorf("%w: %w", journal.ErrFull, err)
	}
	return err
}

// damaged is told, where an error in reading what a column cannot hold is the
// file's too.
func damaged(err error) error {
	var e *sqlite.Error
	switch {
	case err == nil:
		return nil
	case errors.As(err, &e):
		return told(err)
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded), errors.Is(err, journal.ErrDamaged):
		return err
	}
	return fmt.Errorf("%w: %w", journal.ErrDamaged, err)
}
