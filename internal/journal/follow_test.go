package journal_test

import (
	"errors"
	"testing"

	"cotline/internal/journal"
)

func ids(t testing.TB, tail journal.Tail, want ...string) {
	t.Helper()
	if len(tail.Entries) != len(want) {
		t.Fatalf("%d new entries, want %v", len(tail.Entries), want)
	}
	for i, e := range tail.Entries {
		if e.ID != want[i] || tail.Positions[e.ID] != tail.Head.Position-int64(len(want)-1-i) {
			t.Errorf("%s at %d, want %s", e.ID, tail.Positions[e.ID], want[i])
		}
	}
}

// From a cursor on, exactly what was taken since is read, by another process too: the
// second journal has the file open by itself.
func TestAfter(t *testing.T) {
	b := newBench(t)
	b.chart(t, admission(t, 1, "a"), admission(t, 2, "b"))
	r, c, err := b.Here(ctx, noon)
	if err != nil || len(r.Entries) != 2 || r.Policies.Now == nil {
		t.Fatal(len(r.Entries), err)
	}
	tail, err := b.After(ctx, c)
	if err != nil {
		t.Fatal(err)
	}
	ids(t, tail)
	other := benchAt(t, b.path)
	other.chart(t, entryOf(t, 3, "a", "weight", "09:00", `"weightG":1210`))
	other.chart(t, note(t, 4, "x"), signing(t, 5, "11:30"))
	if tail, err = b.After(ctx, c); err != nil {
		t.Fatal(err)
	}
	ids(t, tail, id(3), id(4), id(5))
	if tail.Signed[id(5)] != 5 {
		t.Errorf("signed at %d", tail.Signed[id(5)])
	}
	if tail, err = b.After(ctx, tail.Cursor); err != nil {
		t.Fatal(err)
	}
	ids(t, tail)
}

// Another policy, a cursor of nothing and more rows than are read one by one: anew.
func TestAfterAnew(t *testing.T) {
	b := newBench(t)
	b.chart(t, admission(t, 1, "a"))
	_, c, err := b.Here(ctx, noon)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.After(ctx, journal.Cursor{}); !errors.Is(err, journal.ErrAnew) {
		t.Error(err)
	}
	b.under(t, `{"unit":"Rush"}`, entryOf(t, 2, "a", "head", "09:30", `"circumferenceCm":25.1`))
	if _, err := b.After(ctx, c); !errors.Is(err, journal.ErrAnew) {
		t.Error(err)
	}
}

// What was changed behind a cursor's back shows, whatever of a row it is.
func TestAfterDamage(t *testing.T) {
	for _, damage := range []string{
		`UPDATE journal SET text = replace(text, '1210', '1120') WHERE position = 2`,
		`UPDATE journal SET accepted = '2026-10-24T11:59:00Z' WHERE position = 2`,
		`DELETE FROM journal WHERE position = 2`,
	} {
		b := newBench(t)
		b.chart(t, admission(t, 1, "a"))
		_, c, err := b.Here(ctx, noon)
		if err != nil {
			t.Fatal(err)
		}
		b.chart(t, entryOf(t, 2, "a", "weight", "09:00", `"weightG":1210`))
		b.chart(t, entryOf(t, 3, "a", "weight", "09:10", `"weightG":1211`))
		b.damage(t, damage)
		if _, err := b.After(ctx, c); !errors.Is(err, journal.ErrDamaged) {
			t.Errorf("%s: %v", damage, err)
		}
		r, c, err := b.Here(ctx, noon)
		if err != nil || len(r.Findings) == 0 || c != (journal.Cursor{}) {
			t.Errorf("%s: read as sound: %v %v", damage, r.Findings, err)
		}
	}
}

// Who left months ago is not read.
func TestHereIsWhoIsHere(t *testing.T) {
	b := newBench(t)
	b.chart(t, admission(t, 1, "a"), entryOf(t, 2, "a", "discharge", "09:00", `"to":"home"`), admission(t, 3, "b"))
	r, _, err := b.Here(ctx, noon.AddDate(0, 4, 0))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range r.Entries {
		if e.Infant == "a" {
			t.Errorf("%s of an infant who left", e.Kind)
		}
	}
}
