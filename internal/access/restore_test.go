package access_test

import (
	"strings"
	"testing"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

func TestRestore(t *testing.T) {
	a, store, clock := ward(t)
	in := accesstest.In(t, a, "maeve")
	before := events(t, a, home)
	fresh := &accesstest.Memory{}
	found, err := access.Restore(ctx, store, fresh)
	if err != nil || len(found) > 0 {
		t.Fatal(found, err)
	}
	b := &access.Access{Store: fresh, Home: home, Now: clock.Now, Hash: accesstest.Cheap}
	if after := events(t, b, home); len(after) != len(before) {
		t.Errorf("%d events of %d", len(after), len(before))
	}
	_, err = b.Session(ctx, in.Token)
	is(t, "a session", err, access.ErrNoSession)
	accesstest.In(t, b, "maeve")
}

func TestRestoreOfADamagedTrace(t *testing.T) {
	a, store, _ := ward(t)
	all := len(events(t, a, home))
	store.Change(home, func(r []access.Traced) []access.Traced {
		r[2].Text = strings.Replace(r[2].Text, "olga", "evie", 1)
		return r
	})
	fresh := &accesstest.Memory{}
	found, err := access.Restore(ctx, store, fresh)
	if err != nil || len(found) != 1 || !strings.Contains(found[0].What, "up to position 2") {
		t.Fatal(found, err)
	}
	b := &access.Access{Store: fresh, Home: home, Now: a.Now}
	if after := events(t, b, home); len(after) != 2 || all != 6 {
		t.Errorf("%d events of %d", len(after), all)
	}
}
