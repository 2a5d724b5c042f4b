package sqlite

import (
	"context"
	"errors"
	"fmt"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"

	"cotline/internal/journal"
)

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
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded), errors.Is(err, journal.ErrDamaged),
		errors.Is(err, journal.ErrForeign), errors.Is(err, journal.ErrNewer):
		return err
	}
	return fmt.Errorf("%w: %w", journal.ErrDamaged, err)
}
