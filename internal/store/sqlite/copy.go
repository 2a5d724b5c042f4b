package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"

	"cotline/internal/journal"
)

// Copy writes the record as it is at one moment to a file that is not there, with a
// unit's head and the marks of its traces beside it, synced and readable by their owner
// alone. Writers neither wait nor are waited for. It fails with *journal.Behind where the
// copy would end before what was taken.
func (s *Store) Copy(ctx context.Context, unit, to string) error {
	f, err := readHead(s.path)
	if err != nil {
		return err
	}
	marks, err := os.ReadFile(HeadOf(marksOf(s.path))) // before the copy, which then holds no less
	if err != nil && !errors.Is(err, os.ErrNotExist) {
		return err
	}
	if _, err := s.db.ExecContext(ctx, "VACUUM INTO ?", to); err != nil { // sqlite.org/lang_vacuum.html
		return damaged(err)
	}
	if err := os.Chmod(to, 0o600); err != nil { // as the record: it holds names
		return err
	}
	if len(marks) > 0 {
		if err := putHead(marksOf(to), 0, string(marks)); err != nil {
			return err
		}
	}
	name, err := dataSource(to, settings+"&_pragma=journal_mode(WAL)")
	if err != nil {
		return err
	}
	db, err := sql.Open("sqlite", name)
	if err != nil {
		return err
	}
	copied := &Store{db: db, path: to, turn: make(chan struct{}, 1)}
	copied.version, err = versionOf(ctx, db)
	if err == nil {
		err = copied.Read(ctx, unit, func(v journal.View) error {
			head, err := v.Head()
			if m := f.mark(unit); err == nil && m.State == journal.Marked && m.Position > head.Position {
				return &journal.Behind{Ends: head, Taken: m}
			}
			if err != nil {
				return err
			}
			return writeHead(to, unit, head)
		})
	}
	if err = errors.Join(err, db.Close()); err != nil {
		return damaged(err)
	}
	return nil
}

// Place gives a record that is closed, and what stands beside it, another name in the same
// file system, under which there is nothing: what stands beside it first, so that the record is
// never there without it.
func Place(from, to string) error {
	f, err := os.Open(from)
	if err != nil {
		return err
	}
	if err := errors.Join(f.Sync(), f.Close()); err != nil {
		return err
	}
	for n, beside := range Beside(from) {
		if err := move(beside, Beside(to)[n]); err != nil && !errors.Is(err, os.ErrNotExist) {
			return err
		}
	}
	if err := move(from, to); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(to))
}

// move refuses to overwrite, where the file system has links.
func move(from, to string) error {
	err := os.Link(from, to)
	switch {
	case err == nil:
		return os.Remove(from)
	case errors.Is(err, os.ErrExist), errors.Is(err, os.ErrNotExist):
		return err
	}
	return os.Rename(from, to)
}
