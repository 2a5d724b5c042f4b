package sqlite

import (
	"context"
	"embed"
	"io/fs"
	"time"

	"github.com/pressly/goose/v3"

	"cotline/internal/journal"
)

//go:embed migrations/*.sql
var migrations embed.FS

// applicationID marks a record of this program; the migrations set it.
const applicationID = 1668248684

// migrate brings the tables up to date. Two processes may come upon a new file
// at once: the one that loses the race finds the work done when it looks again.
func (s *Store) migrate(ctx context.Context) error {
	if err := s.ours(ctx); err != nil {
		return err
	}
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	p, err := goose.NewProvider(goose.DialectSQLite3, s.db, files)
	if err != nil {
		return err
	}
	const tries = 50
	for try := 1; ; try++ {
		err := s.up(ctx, p)
		if err == nil || err == journal.ErrNewer || try == tries {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(20 * time.Millisecond):
		}
	}
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

// ours refuses a file that is another program's, before anything is written.
func (s *Store) ours(ctx context.Context) error {
	var id, tables int
	if err := s.db.QueryRowContext(ctx, "PRAGMA application_id").Scan(&id); err != nil {
		return err
	}
	err := s.db.QueryRowContext(ctx, "SELECT count(*) FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%' AND tbl_name <> 'goose_db_version'").Scan(&tables)
	if err != nil {
		return err
	}
	if id != applicationID && (id != 0 || tables > 0) {
		return journal.ErrForeign
	}
	return nil
}
