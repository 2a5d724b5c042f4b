package sqlite

import (
	"context"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"pgregory.net/rapid"

	"cotline/internal/journal"
)

func markOf(t testing.TB, s *Store, unit string) (m journal.Mark) {
	t.Helper()
	err := s.Read(context.Background(), unit, func(v journal.View) (err error) { m, err = v.Mark(); return err })
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// Each commit moves the mark to where the record ends; one that adds nothing leaves it.
func TestHeadFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	s := opened(t, path)
	if m := markOf(t, s, "u"); m.State != journal.Unmarked {
		t.Errorf("a new record is marked: %+v", m)
	}
	for n := range 5 {
		appendRow(t, s, n)
		var head journal.Head
		if err := s.Read(context.Background(), "u", func(v journal.View) (err error) { head, err = v.Head(); return err }); err != nil {
			t.Fatal(err)
		}
		if m := markOf(t, s, "u"); m.State != journal.Marked || m.Head != head || head.Position != int64(n+1) {
			t.Errorf("after %d rows: %+v, head %+v", n+1, m, head)
		}
	}
	info, err := os.Stat(HeadOf(path))
	if err != nil || info.Mode().Perm() != 0o600 || info.Size() != int64(2*headLength) {
		t.Errorf("%v %v", info, err)
	}
	before, _ := os.ReadFile(HeadOf(path))
	if err := s.Write(context.Background(), "u", func(journal.Tx) error { return nil }); err != nil {
		t.Fatal(err)
	}
	if after, _ := os.ReadFile(HeadOf(path)); string(after) != string(before) {
		t.Error("written anew for nothing")
	}
	if m := markOf(t, s, "another"); m.State != journal.Unmarked {
		t.Error("another unit's mark")
	}
}

// Whatever is cut off or changed of one line, the other one holds: never a head that
// was not.
func TestTornHeadFile(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	var heads []journal.Head
	for n := range 3 {
		h := journal.Head{Position: int64(n + 1), Chain: journal.Hash{byte(n + 1)}}
		if err := writeHead(path, "u", h); err != nil {
			t.Fatal(err)
		}
		heads = append(heads, h)
	}
	whole, err := os.ReadFile(HeadOf(path))
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(r *rapid.T) {
		text := append([]byte(nil), whole...)
		at := rapid.IntRange(0, len(text)-1).Draw(r, "at")
		if rapid.Bool().Draw(r, "cut") {
			text = text[:at]
		} else {
			text[at] ^= 1 << rapid.IntRange(0, 7).Draw(r, "bit")
		}
		if err := os.WriteFile(HeadOf(path), text, 0o600); err != nil {
			r.Fatal(err)
		}
		f, err := readHead(path)
		if err != nil {
			r.Fatal(err)
		}
		switch m := f.mark("u"); {
		case len(text) == 0 && m.State == journal.Unmarked:
		case m.State == journal.MarkSpoilt && len(text) < headLength:
		case m.State == journal.Marked && (m.Head == heads[1] || m.Head == heads[2]):
		default:
			r.Fatalf("%+v", m)
		}
		if len(text) > 0 && SpoiltHead(path) == "" && len(text) != headLength {
			r.Fatal("nothing is said of it")
		}
		// The next commit writes it anew.
		next := journal.Head{Position: 9, Chain: journal.Hash{9}}
		if err := writeHead(path, "u", next); err != nil {
			r.Fatal(err)
		}
		if f, err = readHead(path); err != nil || f.mark("u").Head != next {
			r.Fatalf("%+v %v", f.mark("u"), err)
		}
	})
}

// What cannot be written is said, and what was committed stands.
func TestHeadFileCannotBeWritten(t *testing.T) {
	path := filepath.Join(t.TempDir(), "a.db")
	s := opened(t, path)
	if err := os.MkdirAll(filepath.Join(HeadOf(path), "in the way"), 0o700); err != nil {
		t.Fatal(err)
	}
	err := s.Write(context.Background(), "u", func(tx journal.Tx) error {
		return tx.Append([]journal.Row{{Position: 1, ID: "00000000-0000-4000-8000-000000000001", Kind: "note", Text: "{}", Accepted: "x"}})
	})
	var unproven *journal.Unproven
	if !errors.As(err, &unproven) {
		t.Fatal(err)
	}
	if err := s.Read(context.Background(), "u", func(v journal.View) error {
		if h, err := v.Head(); h.Position != 1 || err != nil {
			t.Error(h, err)
		}
		return nil
	}); err != nil {
		t.Error(err)
	}
}

// A record on a medium that cannot be written to is read, and what its write-ahead
// file holds with it; it is not written to.
func TestReadOnly(t *testing.T) {
	ctx := context.Background()
	count := func(s *Store) (n int) {
		t.Helper()
		if err := s.Read(ctx, "u", func(v journal.View) error {
			return v.Rows(func(journal.Row) error { n++; return nil })
		}); err != nil {
			t.Fatal(err)
		}
		if err := s.Check(ctx); err != nil {
			t.Error(err)
		}
		return n
	}
	made := filepath.Join(t.TempDir(), "a.db")
	s := opened(t, made)
	appendRow(t, s, 1)
	appendRow(t, s, 2)
	copied := func(ends ...string) string {
		dir := t.TempDir()
		for _, end := range ends {
			if err := copyFile(made+end, filepath.Join(dir, "b.db"+end)); err != nil {
				t.Fatal(err)
			}
		}
		return dir
	}
	readOnlyCopy(t, ctx, copied("", "-wal", ".head"), count)
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	readOnlyCopy(t, ctx, copied("", ".head"), count)
}

func readOnlyCopy(t *testing.T, ctx context.Context, dir string, count func(*Store) int) {
	t.Helper()
	path := filepath.Join(dir, "b.db")
	before, _ := os.ReadDir(dir)
	b, err := openAside(ctx, path, settings, settings+"&mode=ro")
	if err != nil {
		t.Fatal(err)
	}
	if n := count(b); n != 2 {
		t.Errorf("%d rows", n)
	}
	err = b.Write(ctx, "u", func(tx journal.Tx) error {
		return tx.Append([]journal.Row{{Position: 3, ID: "00000000-0000-4000-8000-000000000003", Kind: "note", Text: "{}", Accepted: "x"}})
	})
	if !errors.Is(err, journal.ErrReadOnly) {
		t.Errorf("written to: %v", err)
	}
	copied := b.remove
	if err := b.Close(); err != nil {
		t.Error(err)
	}
	if _, err := os.Stat(copied); copied != "" && err == nil {
		t.Error("the copy is left behind")
	}
	if after, _ := os.ReadDir(dir); len(after) != len(before) {
		t.Errorf("%d files beside it, %d before", len(after), len(before))
	}
}
