package sqlite

import (
	"context"
	"errors"
	"path/filepath"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
	"cotline/internal/journal"
	"cotline/internal/store/storetest"
)

func TestAccessStore(t *testing.T) {
	storetest.RunAccess(t, func(t *testing.T) func() access.Store {
		path := filepath.Join(t.TempDir(), "a.db")
		return func() access.Store { return opened(t, path).Access() }
	})
}

// The trace is only added to, whoever has the file open.
func TestTraceStands(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	s := opened(t, path)
	err := s.Access().Write(context.Background(), func(tx access.Tx) error {
		return tx.AppendTrace("u", access.Traced{Position: 1, Text: "{}", Chain: journal.Hash{}.Next("{}")})
	})
	if err != nil {
		t.Fatal(err)
	}
	db := raw(t, path)
	for _, statement := range []string{
		"UPDATE trace SET text = ''", "DELETE FROM trace", "INSERT INTO trace VALUES ('u', 3, '', zeroblob(32))",
		"INSERT INTO trace VALUES ('u', 2, '', zeroblob(31))",
	} {
		if _, err := db.Exec(statement); err == nil {
			t.Errorf("done: %s", statement)
		}
	}
}

// A record of before, in which no people were kept, is read as one without, and given its
// tables by the first that is written.
func TestAccessOfOlderRecord(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	s := opened(t, path)
	appendRow(t, s, 1)
	s.Close()
	db := raw(t, path)
	for _, statement := range []string{"DROP TABLE access_item", "DROP TABLE trace", "DELETE FROM goose_db_version WHERE version_id > 3"} {
		if _, err := db.Exec(statement); err != nil {
			t.Fatal(err)
		}
	}
	db.Close()
	s = opened(t, path)
	ctx := context.Background()
	a := &access.Access{Store: s.Access(), Home: "u", Now: (&accesstest.Clock{At: accesstest.Start}).Now, Hash: accesstest.Cheap}
	if anyone, err := a.Anyone(ctx); err != nil || anyone {
		t.Fatal(anyone, err)
	}
	accesstest.Add(t, a, "u", "maeve", access.Nurse)
	accesstest.In(t, a, "maeve")
	if err := s.Check(ctx); err != nil {
		t.Error(err)
	}
	r, err := a.Trace(ctx, access.Console(), access.Origin{}, "u", access.About{})
	if err != nil || len(r.Findings) > 0 || len(r.Events) != 3 {
		t.Error(r, err)
	}
}

// Writers of one process take turns, of the record and of what is kept beside it; who is called
// away while she waits does not wait on.
func TestTurns(t *testing.T) {
	s := opened(t, filepath.Join(t.TempDir(), "a.db"))
	ctx := context.Background()
	within, goOn, first := make(chan struct{}), make(chan struct{}), make(chan error, 1)
	go func() {
		first <- s.Access().Write(ctx, func(access.Tx) error { close(within); <-goOn; return nil })
	}()
	<-within
	while, leave := context.WithTimeout(ctx, 20*time.Millisecond)
	defer leave()
	if err := s.Write(while, "u", func(journal.Tx) error { t.Error("at once"); return nil }); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("%v", err)
	}
	err := s.Access().Write(while, func(access.Tx) error { t.Error("at once"); return nil })
	if !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("%v", err)
	}
	close(goOn)
	if err := <-first; err != nil {
		t.Error(err)
	}
	if err := s.Write(ctx, "u", func(journal.Tx) error { return nil }); err != nil {
		t.Error(err)
	}
}
