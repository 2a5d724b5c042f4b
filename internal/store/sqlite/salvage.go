package sqlite

import (
	"context"
	"database/sql"
	"errors"

	"cotline/internal/journal"
)

// Salvage keeps the contract of journal.Store. It reads row by row, past the index
// and by it, so that what is damaged costs no more than itself.
func (s *Store) Salvage(ctx context.Context, unit string, upto int64, do func(journal.Row)) (passed int64, err error) {
	for _, query := range []string{ // each may fail on its own
		"SELECT max(rowid) FROM journal NOT INDEXED", "SELECT max(position) FROM journal",
	} {
		var n sql.NullInt64
		if err := s.db.QueryRowContext(ctx, query).Scan(&n); err == nil && n.Int64 < 10*upto+1_000_000 {
			upto = max(upto, n.Int64)
		}
	}
	seen := map[int64]bool{}
	for n := int64(1); n <= upto; n++ {
		failed := false
		for _, query := range []string{
			"SELECT " + columns + " FROM journal NOT INDEXED WHERE rowid = ? AND unit = ?",
			"SELECT " + columns + " FROM journal WHERE position = ? AND unit = ?",
		} {
			r, err := scan(s.db.QueryRowContext(ctx, query, n, unit))
			switch {
			case ctx.Err() != nil:
				return passed, ctx.Err()
			case err == nil && !seen[r.Position]:
				seen[r.Position] = true
				do(r)
			case err != nil && !errors.Is(err, sql.ErrNoRows):
				failed = true
			}
		}
		if failed {
			passed++
		}
	}
	return passed, nil
}
