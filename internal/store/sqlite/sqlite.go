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
	"errors"
	"fmt"
	"os"
	"strings"
	"sync"

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
