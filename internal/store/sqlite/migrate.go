package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"io/fs"
	"time"

	"github.com/pressly/goose/v3"
	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"cotline/internal/journal"
)

//go:embed migrations/*.sql
var migrations embed.FS

// applicationID marks a record of this program; the migrations set it.
const applicationID = 1668248684

// patience is how long a new file is waited for that another process makes: SQLite
// itself does not wait where the write-ahead mode is switched on.
const patience = 10 * time.Second

// migrate brings the tables up to date. Several processes may come upon a new file
// at once: those that lose the race find the work done when they look again.
func (s *Store) migrate(ctx context.Context) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	waited := time.After(patience) // a limit of the waiting, not of the work
	for {
		err := s.try(ctx, files)
		if !lostRace(err) {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-waited:
			return err
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// lostRace says whether an error may come of another process that makes the file:
// it holds the lock, or its tables stand there already.
func lostRace(err error) bool {
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return false
	}
	switch e.Code() & 0xff { // the primary result code
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_ERROR, sqlite3.SQLITE_CONSTRAINT:
		return true
	}
	return false
}

func (s *Store) try(ctx context.Context, files fs.FS) error {
	if err := s.ours(ctx); err != nil {
		return err
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, s.db, files)
	if err != nil {
		return err
	}
	return s.up(ctx, p)
}

func (s *Store) up(ctx context.Context, p *goose.Provider) error {
	current, target, err := p.GetVersions(ctx)
	switch {
	case err != nil:
		return err
	case current > target:
		return journal.ErrNewer
	case current == target:
		return nil
	}
	_, err = p.Up(ctx)
	return err
}

// ours refuses a file that is another program's, before anything is written. It
// looks at one state: a file that is being made has neither mark nor tables, or both.
func (s *Store) ours(ctx context.Context) error {
	t, err := s.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true}) // deferred: a snapshot
	if err != nil {
		return err
	}
	defer t.Rollback() // nothing was written
	var id, tables int
	if err := t.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return err
	}
	err = t.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%' AND tbl_name <> 'goose_db_version'").Scan(&tables)
	if err != nil {
		return err
	}
	if id != applicationID && (id != 0 || tables > 0) {
		return journal.ErrForeign
	}
	return nil
}
