package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cotline/internal/journal"
	"cotline/internal/store/storetest"
)

func TestStore(t *testing.T) {
	storetest.Run(t, func(t *testing.T) func() journal.Store {
		// A path that would be read as settings, were it not for the URI.
		path := filepath.Join(t.TempDir(), "Moonwort ward?mode=memory#1 100%.db")
		return func() journal.Store { return opened(t, path) }
	})
}

func opened(t testing.TB, path string) *Store {
	t.Helper()
	s, err := Open(context.Background(), path, true)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s
}

// raw is the file as another program would open it.
func raw(t testing.TB, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+path)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { db.Close() })
	return db
}

func appendRow(t testing.TB, s *Store, n int) {
	t.Helper()
	err := s.Write(context.Background(), "u", func(tx journal.Tx) error {
		h, err := tx.Head()
		if err != nil {
			return err
		}
		return tx.Append([]journal.Row{{Position: h.Position + 1, ID: strings.Repeat("0", 35) + string(rune('0'+n)), Kind: "note",
			Text: "{}", Accepted: "x", Chain: h.Chain.Next("{}")}})
	})
	if err != nil {
		t.Fatal(err)
	}
}

func TestSettings(t *testing.T) {
	s := opened(t, filepath.Join(t.TempDir(), "a.db"))
	// On every connection of the pool, not on the first alone.
	for range 3 {
		c, err := s.db.Conn(context.Background())
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close()
		for pragma, want := range map[string]string{"journal_mode": "wal", "synchronous": "2", "busy_timeout": "10000",
			"foreign_keys": "1"} {
			var got string
			if err := c.QueryRowContext(context.Background(), "PRAGMA "+pragma).Scan(&got); err != nil || got != want {
				t.Errorf("%s is %s, want %s; %v", pragma, got, want, err)
			}
		}
	}
}

func TestNothingChangesInPlace(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	s := opened(t, path)
	appendRow(t, s, 1)
	ctx := context.Background()
	err := s.Write(ctx, "u", func(tx journal.Tx) error {
		if err := tx.KeepPolicy(strings.Repeat("a", 64), "{}"); err != nil {
			return err
		}
		if err := tx.PutInForce(journal.InForce{From: 1, Policy: strings.Repeat("a", 64)}); err != nil {
			return err
		}
		return tx.KeepSigned(journal.Signed{ID: strings.Repeat("0", 35) + "1", Policy: strings.Repeat("a", 64), JSON: []byte("{}")})
	})
	if err != nil {
		t.Fatal(err)
	}
	db := raw(t, path)
	for _, statement := range []string{
		"UPDATE journal SET text = '{}'", "DELETE FROM journal",
		"UPDATE policy SET text = ''", "DELETE FROM policy",
		"UPDATE signed SET json = x''", "DELETE FROM signed",
		"UPDATE in_force SET accepted = 'x'", "DELETE FROM in_force",
		"INSERT INTO in_force VALUES ('u', 3, 1, '', '" + strings.Repeat("a", 64) + "')",
		"INSERT INTO journal VALUES ('u', 9, '" + strings.Repeat("1", 36) + "', '', '', '', '', zeroblob(32))",
		"INSERT INTO journal VALUES ('u', 2, '" + strings.Repeat("1", 36) + "', '', '', '', '', zeroblob(31))",
	} {
		if _, err := db.Exec(statement); err == nil {
			t.Errorf("done: %s", statement)
		}
	}
}

func TestOwnerOnly(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	s := opened(t, path)
	appendRow(t, s, 1)
	if err := s.Copy(context.Background(), "u", path+"-copy"); err != nil {
		t.Fatal(err)
	}
	for _, suffix := range []string{"", "-wal", "-shm", "-copy", "-copy.head"} {
		info, err := os.Stat(path + suffix)
		if err != nil || info.Mode().Perm() != 0o600 {
			t.Errorf("%s: %v %v", suffix, info.Mode(), err)
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	dir := t.TempDir()
	foreign := filepath.Join(dir, "foreign.db")
	if _, err := raw(t, foreign).Exec("CREATE TABLE recipes (name TEXT)"); err != nil {
		t.Fatal(err)
	}
	text := filepath.Join(dir, "text.db")
	if err := os.WriteFile(text, []byte(strings.Repeat("no database ", 1000)), 0o600); err != nil {
		t.Fatal(err)
	}
	newer := filepath.Join(dir, "newer.db")
	appendRow(t, opened(t, newer), 1)
	if _, err := raw(t, newer).Exec("INSERT INTO goose_db_version (version_id, is_applied) VALUES (99, 1)"); err != nil {
		t.Fatal(err)
	}
	empty := filepath.Join(dir, "empty.db")
	if err := os.WriteFile(empty, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		path   string
		create bool
		want   error
	}{
		"not there":         {filepath.Join(dir, "none.db"), false, fs.ErrNotExist},
		"no such directory": {filepath.Join(dir, "none", "a.db"), true, fs.ErrNotExist},
		"a directory":       {dir, false, journal.ErrForeign},
		"empty":             {empty, false, journal.ErrForeign},
		"another program's": {foreign, true, journal.ErrForeign},
		"no database":       {text, true, journal.ErrForeign},
		"newer":             {newer, true, journal.ErrNewer},
	} {
		t.Run(name, func(t *testing.T) {
			if s, err := Open(context.Background(), c.path, c.create); !errors.Is(err, c.want) || errors.Is(err, journal.ErrDamaged) {
				t.Errorf("got %v, %v", s, err)
			}
		})
	}
	var tables int
	raw(t, foreign).QueryRow("SELECT count(*) FROM sqlite_schema").Scan(&tables)
	if tables != 1 {
		t.Error("another program's file was written to")
	}
}

func TestDiskFull(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	opened(t, path).Close()
	s, err := open(context.Background(), path, true, settings+"&_pragma=max_page_count(20)")
	if err != nil {
		t.Fatal(err)
	}
	defer s.Close()
	err = s.Write(context.Background(), "u", func(tx journal.Tx) error {
		text := `{"text":"` + strings.Repeat("x", 200_000) + `"}`
		return tx.Append([]journal.Row{{Position: 1, ID: strings.Repeat("0", 36), Kind: "note", Text: text, Accepted: "x"}})
	})
	if !errors.Is(err, journal.ErrFull) {
		t.Errorf("got %v", err)
	}
	appendRow(t, s, 1) // the first row: nothing of the other was kept
}

// A writer that waits too long is told so, and nothing of its work is kept.
func TestBusy(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	s := opened(t, path)
	hasty, err := open(context.Background(), path, true, strings.Replace(settings, "10000", "1", 1))
	if err != nil {
		t.Fatal(err)
	}
	defer hasty.Close()
	err = s.Write(context.Background(), "u", func(journal.Tx) error {
		return hasty.Write(context.Background(), "u", func(journal.Tx) error { return nil })
	})
	if !errors.Is(err, journal.ErrBusy) {
		t.Errorf("got %v", err)
	}
}
