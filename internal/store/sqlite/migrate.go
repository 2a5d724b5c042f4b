package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/pressly/goose/v3"

	"cotline/internal/journal"
)

//go:embed migrations/*.sql
var migrations embed.FS

// applicationID marks a record of this program; the migrations set it.
const applicationID = 1668248684

// Versions of the tables.
const (
	withRows     = 1
	withIndex    = 2 // and with what proves a reading
	withPolicies = 3 // and with which policies were in force
	withAccess   = 4 // and with people and programs
	withClock    = 5 // the same tables, with what an earlier version does not read
	newest       = withClock
)

// patience is how long another process is waited for that brings the tables up to
// date: SQLite itself does not wait where tables change.
const patience = 10 * time.Second

// makeFile makes a record that is whole or not there. It is made beside its place,
// so that no other process finds it half made; one that lost a race takes the other's.
func makeFile(ctx context.Context, path string) error {
	f, err := os.CreateTemp(filepath.Dir(path), ".cotline-*")
	if err != nil {
		var at *fs.PathError
		if errors.As(err, &at) {
			at.Path = path // the name that was given
		}
		return err
	}
	defer func() {
		for _, end := range []string{"", "-wal", "-shm"} {
			os.Remove(f.Name() + end) // it may be gone
		}
	}()
	if err := f.Close(); err != nil {
		return err
	}
	if err := fill(ctx, f.Name()); err != nil {
		return err
	}
	if err := move(f.Name(), path); err != nil && !errors.Is(err, fs.ErrExist) {
		return err
	}
	return syncFolder(filepath.Dir(path))
}

// fill makes the tables of an empty file.
func fill(ctx context.Context, path string) error {
	name, err := dataSource(path, settings+"&_pragma=journal_mode(WAL)")
	if err != nil {
		return err
	}
	db, err := sql.Open("sqlite", name)
	if err != nil {
		return err
	}
	return errors.Join(up(ctx, db), db.Close())
}

func up(ctx context.Context, db *sql.DB) error {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, db, files)
	if err != nil {
		return err
	}
	_, err = p.Up(ctx)
	return err
}

// upToDate brings the tables of an older version up to date. Several processes may
// do so at once: those that lose the race find the work done when they look again.
func (s *Store) upToDate(ctx context.Context) error {
	s.ready.Lock()
	defer s.ready.Unlock()
	waited := time.After(patience) // a limit of the waiting, not of the work
	for s.version < newest {
		failed := up(ctx, s.db)
		version, err := versionOf(ctx, s.db)
		if s.version = version; err != nil {
			return damaged(err)
		}
		if failed == nil || version == newest {
			continue
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-waited:
			return told(failed)
		case <-time.After(20 * time.Millisecond):
		}
	}
	return nil
}

// versionOf is the version of a file's tables. A file that is another program's, or
// a newer version's, is refused. It looks at one state.
func versionOf(ctx context.Context, db *sql.DB) (int, error) {
	t, err := db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true}) // deferred: a snapshot
	if err != nil {
		return 0, err
	}
	defer t.Rollback() // nothing was written
	var id, rows, index, policies, access int
	if err := t.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return 0, err
	}
	err = t.QueryRowContext(ctx, `SELECT count(*) FILTER (WHERE name IN ('journal', 'policy', 'signed')),
		count(*) FILTER (WHERE name IN ('top', 'node', 'link')), count(*) FILTER (WHERE name = 'in_force'),
		count(*) FILTER (WHERE name IN ('access_item', 'trace'))
		FROM sqlite_schema WHERE type = 'table'`).Scan(&rows, &index, &policies, &access)
	if err != nil {
		return 0, err
	}
	switch {
	case id != applicationID && rows == 3:
		return 0, fmt.Errorf("%w: the mark of this program is not in its first page", journal.ErrDamaged)
	case id != applicationID:
		return 0, journal.ErrForeign
	}
	// What was done last, as goose keeps it: a later version knows more.
	var last sql.NullInt64
	if err := t.QueryRowContext(ctx, "SELECT max(version_id) FROM goose_db_version WHERE is_applied").Scan(&last); err != nil {
		return 0, err
	}
	switch tables := [4]int{rows, index, policies, access}; {
	case last.Int64 > newest:
		return 0, journal.ErrNewer
	case tables == [4]int{3, 3, 1, 2} && last.Int64 <= withAccess:
		return withAccess, nil
	case tables == [4]int{3, 3, 1, 2}:
		return withClock, nil
	case tables == [4]int{3, 3, 1, 0} && last.Int64 <= withPolicies:
		return withPolicies, nil
	case tables == [4]int{3, 3, 0, 0} && last.Int64 <= withIndex:
		return withIndex, nil
	case tables == [4]int{3, 0, 0, 0} && last.Int64 <= withRows:
		return withRows, nil
	}
	return 0, fmt.Errorf("%w: not all of its tables are there", journal.ErrDamaged)
}

// sameTables holds tables, indexes and guards to those of a record made now.
func (s *Store) sameTables(ctx context.Context) error {
	if s.version < withAccess { // since then no table changed
		return nil
	}
	fresh, err := sql.Open("sqlite", ":memory:")
	if err != nil {
		return err
	}
	defer fresh.Close()      // it is in memory
	fresh.SetMaxOpenConns(1) // each has a memory of its own
	if err := up(ctx, fresh); err != nil {
		return err
	}
	want, err := tablesOf(ctx, fresh)
	if err != nil {
		return err
	}
	got, err := tablesOf(ctx, s.db)
	if err != nil {
		return damaged(err)
	}
	for _, name := range slices.Sorted(maps.Keys(want)) {
		if got[name] != want[name] {
			return fmt.Errorf("%w: %s is not what was made", journal.ErrDamaged, name)
		}
	}
	return nil
}

func tablesOf(ctx context.Context, db *sql.DB) (map[string]string, error) {
	rows, err := db.QueryContext(ctx, "SELECT type || ' ' || name, coalesce(sql, '') FROM sqlite_schema WHERE tbl_name NOT LIKE 'goose%'")
	if err != nil {
		return nil, err
	}
	defer rows.Close()
	out := map[string]string{}
	for rows.Next() {
		var name, made string
		if err := rows.Scan(&name, &made); err != nil {
			return nil, err
		}
		out[name] = made
	}
	return out, rows.Err()
}
