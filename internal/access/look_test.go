package access_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

func TestLookBeyond(t *testing.T) {
	a, store, clock := ward(t)
	in := accesstest.In(t, a, "maeve")
	if session(t, a, in.Token).May("moss", access.ReadInfants) {
		t.Fatal("another unit is open")
	}
	const reason = "transport at 03:10, twin is with us"
	look, err := a.LookBeyond(ctx, in.Who, access.Origin{}, "moss", reason)
	fits(t, "look", err)
	who := session(t, a, in.Token)
	for _, g := range access.Grants {
		if may := who.May("moss", g.Permission); may != (g.Permission == access.ReadInfants) {
			t.Errorf("%s: %v", g.Permission, may)
		}
	}
	if units := who.Units(access.ReadInfants); len(units) != 2 {
		t.Errorf("units %v", units)
	}
	for _, keeper := range []string{"kim", "kaj"} {
		by := accesstest.In(t, a, keeper).Who
		looks, err := a.Looks(ctx, by, access.Origin{}, by.Unit)
		if err != nil || len(looks) != 1 || looks[0] != look || looks[0].Reason != reason {
			t.Errorf("%s sees %+v, %v", keeper, looks, err)
		}
	}
	_, err = a.Looks(ctx, in.Who, access.Origin{}, "moss")
	is(t, "a nurse lists them", err, access.ErrNotAllowed)
	for _, unit := range []string{home, "moss"} {
		if all := events(t, a, unit, access.LookedBeyond); len(all) != 1 || all[0].Who != "maeve" ||
			strings.Contains(all[0].Detail, "twin") {
			t.Errorf("%s: %+v", unit, all)
		}
	}
	if n := strings.Count(store.Everything(), "twin is with us"); n != 1 {
		t.Errorf("the reason is kept %d times", n)
	}
	clock.Move(25 * time.Minute)
	session(t, a, in.Token)
	clock.Move(25 * time.Minute)
	session(t, a, in.Token)
	clock.Move(10*time.Minute - 1)
	if !session(t, a, in.Token).May("moss", access.ReadInfants) {
		t.Error("it is over too soon")
	}
	clock.Move(1)
	if session(t, a, in.Token).May("moss", access.ReadInfants) {
		t.Error("it is not over")
	}
}

func TestLookBeyondIsRefused(t *testing.T) {
	a, _, _ := ward(t)
	accesstest.Add(t, a, home, "cleo", access.Clerk)
	maeve := accesstest.In(t, a, "maeve").Who
	for _, reason := range []string{"", "short", "          x          ", strings.Repeat("x", 501)} {
		if _, err := a.LookBeyond(ctx, maeve, access.Origin{}, "moss", reason); !errors.As(err, new(*access.Unfit)) {
			t.Errorf("%q: %v", reason, err)
		}
	}
	for what, c := range map[string]struct {
		by   *access.Who
		unit string
	}{
		"a clerk": {accesstest.In(t, a, "cleo").Who, "moss"}, "a keeper": {accesstest.In(t, a, "kim").Who, "moss"}, "nobody": {nil, "moss"},
		"the console": {access.Console(), "moss"}, "a unit that is not there": {maeve, "gone"}, "no unit": {maeve, ""},
	} {
		_, err := a.LookBeyond(ctx, c.by, access.Origin{}, c.unit, "a reason that is long enough")
		is(t, what, err, access.ErrNotAllowed)
	}
	if units, _ := a.TraceUnits(ctx); len(units) != 2 {
		t.Errorf("somebody made a unit by asking for it: %v", units)
	}
}
