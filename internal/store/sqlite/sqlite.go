// Package sqlite keeps journals in one SQLite file.
//
// The file is in write-ahead mode with synchronous FULL: a commit is synced to
// the disk before it returns, so what was taken survives a power cut
// (sqlite.org/pragma.html, synchronous; sqlite.org/wal.html). Writers take the
// write lock when their transaction begins, not at its first write, and wait for
// each other; readers see one state and wait for nobody. Triggers refuse to
// change or remove a row. Settings stand in the data source name, because a
// pragma reaches one connection of the pool only.
package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io/fs"
	"net/url"
	"os"
	"path/filepath"
	"strings"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"cotline/internal/journal"
)

// Store is one SQLite file. It is safe for use by several goroutines, and
// several processes may have it open.
type Store struct{ db *sql.DB }

var _ journal.Store = (*Store)(nil)

// Open opens the file at path and brings its tables up to date. Create makes a
// file that is not there, readable by its owner alone; else a missing file is
// fs.ErrNotExist.
func Open(ctx context.Context, path string, create bool) (*Store, error) {
	return open(ctx, path, create, settings)
}

const settings = "_pragma=busy_timeout(10000)&_pragma=journal_mode(WAL)&_pragma=synchronous(FULL)&_pragma=foreign_keys(1)&_txlock=immediate"

func open(ctx context.Context, path string, create bool, settings string) (*Store, error) {
	flags := os.O_RDONLY
	if create {
		flags = os.O_RDWR | os.O_CREATE
	}
	f, err := os.OpenFile(path, flags, 0o600)
	if err != nil {
		return nil, err
	}
	info, err := f.Stat()
	f.Close()
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular():
		return nil, &fs.PathError{Op: "open", Path: path, Err: journal.ErrForeign}
	case !create && info.Size() == 0:
		return nil, &fs.PathError{Op: "open", Path: path, Err: journal.ErrForeign}
	}
	name, err := dataSource(path, settings)
	if err != nil {
		return nil, err
	}
	db, err := sql.Open("sqlite", name)
	if err != nil {
		return nil, err
	}
	s := &Store{db}
	if err := s.migrate(ctx); err != nil {
		db.Close()
		return nil, told(err)
	}
	return s, nil
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
func (s *Store) Close() error { return told(s.db.Close()) }

// Write keeps the contract of journal.Store.
func (s *Store) Write(ctx context.Context, unit string, do func(journal.Tx) error) error {
	t, err := s.db.BeginTx(ctx, nil) // immediate, by _txlock
	if err != nil {
		return told(err)
	}
	defer t.Rollback() //nolint:errcheck // after a commit there is nothing to undo
	if err := do(&tx{ctx, t, unit, map[string]*sql.Stmt{}}); err != nil {
		return err
	}
	return told(t.Commit())
}

// Read keeps the contract of journal.Store.
func (s *Store) Read(ctx context.Context, unit string, do func(journal.View) error) error {
	t, err := s.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true}) // deferred: a snapshot
	if err != nil {
		return told(err)
	}
	defer t.Rollback() //nolint:errcheck // nothing was written
	return do(&tx{ctx, t, unit, map[string]*sql.Stmt{}})
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
	return told(rows.Err())
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
