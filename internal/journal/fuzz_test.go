package journal_test

import (
	"bytes"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/handover/entry"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
)

// storedColumns are what a record keeps, a table's column each.
var storedColumns = []struct{ table, column, as string }{
	{"journal", "text", "TEXT"}, {"journal", "id", "TEXT"}, {"journal", "infant", "TEXT"}, {"journal", "kind", "TEXT"},
	{"journal", "accepted", "TEXT"}, {"journal", "chain", "BLOB"}, {"journal", "position", "INTEGER"},
	{"signed", "json", "BLOB"}, {"signed", "digest", "TEXT"}, {"signed", "chain", "BLOB"}, {"signed", "policy", "TEXT"},
	{"signed", "engine", "TEXT"}, {"signed", "position", "INTEGER"}, {"signed", "form", "INTEGER"},
	{"policy", "text", "TEXT"}, {"policy", "hash", "TEXT"}, {"top", "body", "BLOB"}, {"node", "body", "BLOB"}, {"node", "id", "INTEGER"},
	{"link", "stream", "TEXT"}, {"link", "n", "INTEGER"}, {"link", "position", "INTEGER"},
}

// A reading may take so many bytes, or so many times what the sound record takes here and
// now (the race detector takes most): less than a length that a damage made up would.
const (
	mostBytes = 64 << 20
	mostTimes = 4
)

// allocated is how much memory something takes, in bytes.
func allocated(do func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	do()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// Whatever the bytes of a stored row or of the file become, what is read is what was
// taken, or comes with a finding or an error; and it takes no more memory than that.
//
// Part 0 writes over the file at a byte; another writes over a value of a column, from a
// byte of it on.
func FuzzStored(f *testing.F) {
	for i, c := range storedColumns {
		f.Add(uint8(i+1), uint16(1), uint32(3), []byte("\x00\xff7"))
		f.Add(uint8(i+1), uint16(0), uint32(1<<31-1), []byte(`{"id":`))
		if c.as == "INTEGER" {
			f.Add(uint8(i+1), uint16(1), uint32(0), []byte("\x7f\xff\xff\xff\xff\xff\xff\xff"))
		}
	}
	for _, at := range []uint32{16, 28, 40, 100, 4096, 4099, 9000, 30000} { // of the format's header, of pages
		f.Add(uint8(0), uint16(0), at, []byte{0xff, 0xff})
	}
	b := newBench(f)
	b.chart(f, admission(f, 1, "a"), entryOf(f, 2, "a", "weight", "09:00", `"weightG":1210`), note(f, 3, "x"))
	b.chart(f, signing(f, 4, "11:30"))
	b.chart(f, note(f, 5, "y"))
	sound := b.read(f)
	signed, _, err := b.Signed(ctx, id(4))
	if err != nil {
		f.Fatal(err)
	}
	if err := b.Store.Close(); err != nil { // all of it is in the file
		f.Fatal(err)
	}
	whole, head := mustRead(f, b.path), mustRead(f, sqlite.HeadOf(b.path))
	dir := f.TempDir()
	usual := allocated(func() {
		path := filepath.Join(f.TempDir(), "sound.db")
		for name, content := range map[string][]byte{path: whole, sqlite.HeadOf(path): head} {
			if err := os.WriteFile(name, content, 0o600); err != nil {
				f.Fatal(err)
			}
		}
		readDamaged(f, b, path, sound, signed)
	})
	f.Fuzz(func(t *testing.T, part uint8, row uint16, at uint32, with []byte) {
		path := filepath.Join(dir, "record.db")
		for _, end := range []string{"", "-wal", "-shm"} {
			os.Remove(path + end) // it may not be there
		}
		file := bytes.Clone(whole)
		if part == 0 {
			copy(file[int(at)%len(file):], with)
		}
		for name, content := range map[string][]byte{path: file, sqlite.HeadOf(path): head} {
			if err := os.WriteFile(name, content, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		if part > 0 {
			if err := overwrite(path, int(part-1)%len(storedColumns), int(row), int(at), with); err != nil {
				t.Skip(err) // the tables do not take it
			}
		}
		if took := allocated(func() { readDamaged(t, b, path, sound, signed) }); took > max(mostBytes, mostTimes*usual) {
			t.Errorf("reading took %d MB, the sound record takes %d", took>>20, usual>>20)
		}
	})
}

func mustRead(t testing.TB, path string) []byte {
	t.Helper()
	content, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return content
}

// overwrite changes a value behind the record's back.
func overwrite(path string, column, row, at int, with []byte) (err error) {
	c := storedColumns[column]
	db, err := sql.Open("sqlite", "file:"+path+"?_pragma=ignore_check_constraints(1)&_pragma=foreign_keys(0)")
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, db.Close()) }()
	var was []byte
	var rowid int64
	var n int
	if err := db.QueryRow("SELECT count(*) FROM " + c.table).Scan(&n); err != nil {
		return err
	}
	if err := db.QueryRow("SELECT rowid, CAST("+c.column+" AS BLOB) FROM "+c.table+" ORDER BY rowid LIMIT 1 OFFSET ?", row%max(n, 1)).
		Scan(&rowid, &was); err != nil {
		return err
	}
	var value any
	if c.as == "INTEGER" {
		value = int64(binary.BigEndian.Uint64(append(make([]byte, 8), with...)[len(with):]))
	} else {
		from := at % (len(was) + 1)
		if at > 1<<30 { // in its place
			from, was = 0, nil
		}
		value = append(append(bytes.Clone(was[:from]), with...), was[min(len(was), from+len(with)):]...)
	}
	var guards []string
	rows, err := db.Query("SELECT sql FROM sqlite_schema WHERE type = 'trigger' AND tbl_name = ?", c.table)
	if err != nil {
		return err
	}
	for rows.Next() {
		var guard string
		if err := rows.Scan(&guard); err != nil {
			return err
		}
		guards = append(guards, guard)
	}
	if err := rows.Err(); err != nil {
		return err
	}
	tx, err := db.Begin()
	if err != nil {
		return err
	}
	defer tx.Rollback() // nothing is left to roll back after a commit
	for _, guard := range guards {
		var name string
		if _, err := fmt.Sscanf(guard, "CREATE TRIGGER %s", &name); err != nil {
			return err
		}
		if _, err := tx.Exec("DROP TRIGGER " + name); err != nil {
			return err
		}
	}
	if _, err := tx.Exec("UPDATE "+c.table+" SET "+c.column+" = CAST(? AS "+c.as+") WHERE rowid = ?", value, rowid); err != nil {
		return err
	}
	for _, guard := range guards {
		if _, err := tx.Exec(guard); err != nil {
			return err
		}
	}
	return tx.Commit()
}

// readDamaged reads a record, verifies it and charts into it, and holds what is told without
// a finding to what was taken.
func readDamaged(t testing.TB, b *bench, path string, sound journal.Reading, signed journal.Signed) {
	store, err := sqlite.Open(ctx, path, false)
	if err != nil {
		return
	}
	defer store.Close()
	j := &journal.Journal{Store: store, Unit: b.Unit, Now: b.Now, Engine: b.Engine, Compile: b.Compile}
	if r, err := j.Read(ctx); err == nil && len(r.Findings) == 0 {
		sameReading(t, sound, r)
	}
	asOf := sound.Entries[3].At.Time
	about := journal.About{Infants: []string{"a"}, At: asOf, Known: asOf}
	if r, err := j.ReadAbout(ctx, about, b.policy); err == nil && len(r.Findings) == 0 {
		for _, e := range r.Entries {
			i := slices.IndexFunc(sound.Entries, func(s *entry.Entry) bool { return s.ID == e.ID })
			if i < 0 || string(e.AppendCanonical(nil)) != string(sound.Entries[i].AppendCanonical(nil)) {
				t.Errorf("entry %s is not what was taken", e.ID)
			}
		}
	}
	if s, found, err := j.Signed(ctx, signed.ID); err == nil && !found {
		t.Error("what was signed is not found, and nothing is said")
	} else if err == nil && s.Digest != signed.Digest {
		t.Error("another handover is told for the one that was signed")
	}
	if report, err := j.Verify(ctx); err == nil && len(report.Findings) == 0 &&
		(report.Entries != len(sound.Entries) || report.Head != sound.Head) {
		t.Errorf("verified: %+v", report)
	}
	again := entryOf(t, 2, "a", "weight", "09:00", `"weightG":1210`)
	if taken, err := j.Append(ctx, b.policy, journal.Offer([]*entry.Entry{again})); err == nil && taken.Taken > 0 {
		t.Errorf("an entry that is held was taken again: %+v", taken)
	}
}

func sameReading(t testing.TB, want, got journal.Reading) {
	t.Helper()
	if diff := cmp.Diff(texts(want), texts(got)); diff != "" || want.Head != got.Head {
		t.Errorf("read without a finding, and not what was taken:\n%s", diff)
	}
}

func texts(r journal.Reading) (out []string) {
	for _, e := range r.Entries {
		out = append(out, string(e.AppendCanonical(nil))+" charted "+e.Charted.Text)
	}
	return out
}
