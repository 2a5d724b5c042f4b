package journal_test

import (
	"crypto/sha256"
	"database/sql"
	"encoding/hex"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"cotline/handover/entry"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
)

// older makes of a record one as the version before the index left it, without a
// head file, and opens it.
func older(t *testing.T, b *bench) *bench {
	t.Helper()
	if err := b.Store.Close(); err != nil {
		t.Fatal(err)
	}
	b.run(
		t,
		"DROP TABLE IF EXISTS access_item",
		"DROP TABLE IF EXISTS trace",
		"DROP TABLE IF EXISTS in_force",
		"DROP TABLE top",
		"DROP TABLE node",
		"DROP TABLE link",
		"ALTER TABLE signed DROP COLUMN form",
		"CREATE INDEX journal_infant ON journal (unit, infant, position)",
		"DELETE FROM goose_db_version WHERE version_id > 1",
	)
	if err := os.Remove(sqlite.HeadOf(b.path)); err != nil {
		t.Fatal(err)
	}
	return benchAt(t, b.path)
}

// run changes the tables of a record that is closed.
func (b *bench) run(t testing.TB, statements ...string) {
	t.Helper()
	db, err := sql.Open("sqlite", "file:"+b.path)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range statements {
		if _, err := db.Exec(s); err != nil {
			t.Fatal(s, err)
		}
	}
	if err := db.Close(); err != nil {
		t.Fatal(err)
	}
}

// signWhole keeps of a record's handovers what the version before kept: the ward.
func signWhole(t *testing.T, b *bench) {
	t.Helper()
	r := b.read(t)
	for _, e := range r.Entries {
		s, found, err := b.Signed(ctx, e.ID)
		if err != nil || !found {
			continue
		}
		asOf, _ := e.Moment("asOf")
		cut := r
		cut.Entries = slices.DeleteFunc(slices.Clone(r.Entries), func(e *entry.Entry) bool { return r.Positions[e.ID] > s.Position })
		text := b.Compile(cut.Ward(b.policy), asOf.Time, e.Charted.Time, journal.Head{Position: s.Position, Chain: s.Chain})
		b.damage(
			t,
			fmt.Sprintf("UPDATE signed SET json = x'%s', digest = '%s' WHERE id = '%s'", packed(string(text)), hexSum(text), s.ID),
		)
	}
}

// A record of the version before is read and verified as it was, on its own chain;
// the first that is charted into it gives it an index, and nothing else changes.
func TestOlderRecord(t *testing.T) {
	b := newBench(t)
	b.chart(t, admission(t, 1, "a"), entryOf(t, 2, "b", "admission", "08:00", `"born":"2026-10-23","cot":"8","mrn":"2"`),
		entryOf(t, 3, "b", "weight", "09:00", `"weightG":1210`))
	b.chart(t, signing(t, 4, "11:30"))
	want := b.read(t)
	signWhole(t, b)
	b = older(t, b)
	check := func(when string, report journal.Report) {
		if report.Signed != 1 || report.Head.Chain == (journal.Hash{}) {
			t.Errorf("%s: %+v", when, report)
		}
	}
	check("as it was", b.sound(t))
	r := b.read(t)
	if !r.Unmarked || r.Head != want.Head || len(r.Entries) != len(want.Entries) {
		t.Errorf("unmarked %v, head %v, %d entries", r.Unmarked, r.Head, len(r.Entries))
	}
	if part, err := b.ReadAbout(ctx, journal.About{Infants: []string{"a"}, At: noon, Known: noon}, b.policy); err != nil ||
		len(part.Entries) != len(want.Entries) {
		t.Error("it is not read whole", err)
	}
	if err := b.Holding(ctx, func(held entry.Holding) {
		if held.Entry(id(1)) == nil || held.Entry(id(9)) != nil || held.Like("B") != "b" {
			t.Error("what is held cannot be told")
		}
	}); err != nil {
		t.Error(err)
	}
	receipt := b.chart(t, admission(t, 1, "a"), note(t, 5, "x"))
	if receipt.Taken != 1 || receipt.Held != 1 || !receipt.Unmarked {
		t.Errorf("%+v", receipt)
	}
	check("charted into", b.sound(t))
	if part, err := b.ReadAbout(ctx, journal.About{Infants: []string{"a"}, At: noon, Known: noon}, b.policy); err != nil ||
		len(part.Entries) >= receipt.Taken+len(want.Entries) {
		t.Error("it has no index", err)
	}
	if b.read(t).Unmarked {
		t.Error("it has no mark")
	}
}

// A damaged record of the version before is not given an index.
func TestOlderRecordDamaged(t *testing.T) {
	b := newBench(t)
	b.chart(t, admission(t, 1, "a"), entryOf(t, 2, "a", "weight", "09:00", `"weightG":1210`))
	b.damage(t, `UPDATE journal SET text = replace(text, '1210', '1120')`)
	b = older(t, b)
	if _, err := b.Append(ctx, b.policy, journal.Offer([]*entry.Entry{note(t, 3, "x")})); !errors.Is(err, journal.ErrDamaged) ||
		!strings.Contains(err.Error(), "position 2") {
		t.Error(err)
	}
	if r := b.read(t); len(r.Findings) != 1 {
		t.Error(r.Findings)
	}
}

func hexSum(text []byte) string { sum := sha256.Sum256(text); return hex.EncodeToString(sum[:]) }

// restored is a record made of what is whole in another.
func restored(t *testing.T, b *bench) (*bench, journal.Restored) {
	t.Helper()
	into := benchAt(t, filepath.Join(t.TempDir(), "fresh.db"))
	r, err := b.Restore(ctx, into.Store)
	if err != nil {
		t.Fatal(err)
	}
	return into, r
}

func TestRestore(t *testing.T) {
	for name, c := range map[string]struct {
		damage []string
		taken  int
		signed int
		want   []string
	}{
		"sound": {nil, 5, 1, nil},
		"text": {[]string{`UPDATE journal SET text = replace(text, '1210', '1120') WHERE position = 2`}, 4, 0,
			[]string{"2: left out: it is not what was kept (id " + id(2) + ", infant a, kind weight"}},
		"accepted": {[]string{`UPDATE journal SET accepted = '2026-10-24T15:00:00Z' WHERE position = 3`}, 4, 0,
			[]string{"3: left out"}},
		"rows gone": {[]string{`DELETE FROM journal WHERE position IN (2, 3)`}, 3, 0,
			[]string{"2: the rows from here to position 3 are missing"}},
		"end gone": {[]string{`DELETE FROM journal WHERE position = 5`}, 4, 1,
			[]string{"0: entries that were taken are gone", "5: the rows from here to position 5 are missing"}},
		"position made up": {[]string{`UPDATE journal SET position = 135291401888314 WHERE position = 5`}, 4, 1,
			[]string{"0: entries that were taken are gone", "5: the rows from here to position 135291401888313 are missing",
				"135291401888314: left out: it is not what was kept"}},
		"index": {[]string{`UPDATE node SET body = zeroblob(57)`}, 5, 1, nil},
		"list":  {[]string{`DELETE FROM link`}, 5, 1, nil},
		"index and text": {[]string{`DELETE FROM node`, `UPDATE journal SET text = replace(text, '1210', '1120') WHERE position = 2`}, 4,
			0, []string{"2: left out: the chain does not hold"}},
		"top": {[]string{`DELETE FROM top`, `DELETE FROM node`}, 5, 1, nil},
		"what was signed": {[]string{`UPDATE signed SET json = x'00'`}, 5, 0,
			[]string{"4: what handover " + id(4) + " was signed on is not whole"}},
		"policy": {[]string{`UPDATE policy SET text = replace(text, 'Alder', 'Older')`}, 5, 0,
			[]string{"0: left out: the policy"}},
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench(t)
			b.chart(t, admission(t, 1, "a"), entryOf(t, 2, "a", "weight", "09:00", `"weightG":1210`), note(t, 3, "x"))
			b.chart(t, signing(t, 4, "11:30"))
			b.chart(t, note(t, 5, "y"))
			was := b.read(t)
			b.damage(t, c.damage...)
			fresh, r := restored(t, b)
			if r.Taken != c.taken || len(r.Findings) != len(c.want) {
				t.Fatalf("%+v", r)
			}
			for i, f := range r.Findings {
				if got := fmt.Sprintf("%d: %s", f.Position, f.What); !strings.HasPrefix(got, c.want[i]) {
					t.Errorf("found %q, want %q", got, c.want[i])
				}
			}
			if report := fresh.sound(t); report.Signed != c.signed || report.Entries != c.taken {
				t.Errorf("%+v", report)
			}
			got := fresh.read(t)
			if c.taken == len(was.Entries) && got.Head != was.Head {
				t.Error("another chain")
			}
			for _, e := range got.Entries { // as it was, when it was accepted too
				i := slices.IndexFunc(was.Entries, func(x *entry.Entry) bool { return x.ID == e.ID })
				if string(was.Entries[i].AppendStamped(nil)) != string(e.AppendStamped(nil)) {
					t.Errorf("entry %s changed", e.ID)
				}
			}
			if _, err := b.Restore(ctx, fresh.Store); err == nil {
				t.Error("restored into a record that is not empty")
			}
		})
	}
}
