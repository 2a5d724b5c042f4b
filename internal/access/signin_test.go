package access_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

var ctx = context.Background()

const home = "fern"

func ward(t *testing.T) (*access.Access, *accesstest.Memory, *accesstest.Clock) {
	t.Helper()
	a, store, clock := accesstest.New(home)
	accesstest.Add(t, a, home, "maeve", access.Nurse)
	accesstest.Add(t, a, home, "olga", access.Nurse, access.Charge)
	accesstest.Add(t, a, home, "kim", access.Keeper)
	accesstest.Add(t, a, "moss", "tove", access.Nurse)
	accesstest.Add(t, a, "moss", "kaj", access.Keeper)
	return a, store, clock
}

func is(t testing.TB, what string, err, want error) {
	t.Helper()
	if !errors.Is(err, want) {
		t.Errorf("%s: got %v, want %v", what, err, want)
	}
}

func fits(t testing.TB, what string, err error) {
	t.Helper()
	if err != nil {
		t.Fatalf("%s: %v", what, err)
	}
}

func limited(err error) bool { return errors.As(err, new(*access.Limited)) }

func session(t testing.TB, a *access.Access, token string) *access.Who {
	t.Helper()
	who, err := a.Session(ctx, token)
	fits(t, "session", err)
	return who
}

// events are those of a unit's trace, of one kind.
func events(t testing.TB, a *access.Access, unit string, kinds ...access.EventKind) []access.Event {
	t.Helper()
	r, err := a.Trace(ctx, access.Console(), access.Origin{}, unit, access.About{Kinds: kinds})
	if err != nil || len(r.Findings) > 0 {
		t.Fatal(r.Findings, err)
	}
	return r.Events
}

// A token that was planted in a browser before somebody signed in there is worth nothing
// afterwards, and the one that she had is ended.
func TestFixation(t *testing.T) {
	a, _, _ := ward(t)
	first := accesstest.In(t, a, "maeve")
	second, err := a.SignIn(ctx, access.Origin{Address: "a", Session: first.Token}, "olga", accesstest.Password)
	fits(t, "sign in", err)
	if second.Token == first.Token {
		t.Error("the token that the browser brought was taken")
	}
	_, err = a.Session(ctx, first.Token)
	is(t, "the one before", err, access.ErrNoSession)
	if who := session(t, a, second.Token); who.Name != "olga" {
		t.Errorf("got %s", who.Name)
	}
	planted := strings.Repeat("A", 43)
	third, err := a.SignIn(ctx, access.Origin{Address: "a", Session: planted}, "maeve", accesstest.Password)
	if err != nil || third.Token == planted {
		t.Error(third.Token, err)
	}
	_, err = a.Session(ctx, planted)
	is(t, "a token of nobody's making", err, access.ErrNoSession)
}

// Wrong, unknown, locked, without a password and beyond the limit of wrong ones: one answer.
func TestOneAnswer(t *testing.T) {
	a, store, clock := ward(t)
	_, err := a.AddPerson(ctx, access.Console(), access.Origin{}, access.Person{Name: "new", Shown: "New", Unit: home})
	fits(t, "add", err)
	fits(t, "lock", a.Lock(ctx, access.Console(), access.Origin{}, "tove", true))
	for i, c := range []struct{ name, password string }{
		{"maeve", "zebra typed"}, {"whoever", accesstest.Password}, {"tove", accesstest.Password}, {"new", ""}, {"new", accesstest.Password},
		{"", ""}, {"MAEVE\x00", accesstest.Password}, {strings.Repeat("m", 1000), accesstest.Password},
		{"maeve", strings.Repeat("x", 1<<20)}, {"maeve", accesstest.Password + " "}, {"maeve", strings.ToUpper(accesstest.Password)},
	} {
		clock.Move(10 * time.Minute)
		in, err := a.SignIn(ctx, access.Origin{Address: "one"}, c.name, c.password)
		if err != access.ErrRefused || in.Token != "" || in.Who != nil || in.Device != "" {
			t.Errorf("case %d: %v %+v", i, err, in)
		}
	}
	// Of whom nobody knows, nothing that was typed is kept: it may be a password.
	if all := store.Everything(); strings.Contains(all, "whoever") || strings.Contains(all, "zebra") {
		t.Error("what was typed is kept")
	}
	if n := len(events(t, a, home, access.SignInRefused)) + len(events(t, a, "moss", access.SignInRefused)); n != 11 {
		t.Errorf("%d refusals are traced", n)
	}
}

// An unknown name costs the work of a known one: a hash is made for it, too.
func TestSameWork(t *testing.T) {
	a, _, _ := accesstest.New(home)
	a.Hash = access.HashCost{Memory: 8 << 10, Passes: 2, Threads: 1}
	accesstest.Add(t, a, home, "slow", access.Nurse)
	took := func(name string) time.Duration {
		best := time.Hour
		for i := range 5 {
			from := time.Now()
			if _, err := a.SignIn(ctx, access.Origin{Address: name + string(rune('a'+i))}, name, "wrong"); err != access.ErrRefused {
				t.Fatal(err)
			}
			best = min(best, time.Since(from))
		}
		return best
	}
	// No limit of time but of the ratio, wide enough for a busy machine: without the work in
	// vain it is some hundred times.
	known, unknown := took("slow"), took("nobody")
	if known > 20*unknown || unknown > 20*known {
		t.Errorf("known %v, unknown %v", known, unknown)
	}
}

func TestGuessingIsSlowed(t *testing.T) {
	for _, name := range []string{"maeve", "nobody"} { // no difference shows who is known
		t.Run(name, func(t *testing.T) {
			a, _, clock := ward(t)
			tries := 0
			for ; tries < 100; tries++ {
				if _, err := a.SignIn(ctx, access.Origin{Address: "x"}, name, "wrong"); limited(err) {
					break
				}
			}
			if tries != 5 {
				t.Errorf("%d tries at once", tries)
			}
			_, err := a.SignIn(ctx, access.Origin{Address: "other"}, name, accesstest.Password)
			if !limited(err) {
				t.Errorf("from another address: %v", err)
			}
			clock.Move(time.Minute)
			_, err = a.SignIn(ctx, access.Origin{Address: "x"}, name, "wrong")
			is(t, "a minute later", err, access.ErrRefused)
			if n := len(events(t, a, home, access.Limit)); n != 1 { // once a minute, however often it is tried
				t.Errorf("%d traced", n)
			}
		})
	}
	t.Run("many names from one address", func(t *testing.T) {
		a, _, _ := ward(t)
		tries := 0
		for ; tries < 100; tries++ {
			if _, err := a.SignIn(ctx, access.Origin{Address: "x"}, "n"+strings.Repeat("x", tries), "wrong"); limited(err) {
				break
			}
		}
		if tries != 30 {
			t.Errorf("%d tries", tries)
		}
	})
}

// Who uses up the tries of a name elsewhere does not keep its owner out of the device that
// she uses; a hundred wrong ones close the account to every device that does not know her.
func TestNobodyLocksAnotherOut(t *testing.T) {
	a, _, clock := ward(t)
	own := accesstest.In(t, a, "maeve").Device
	for wrong := 0; wrong < 100; {
		clock.Move(time.Minute)
		if _, err := a.SignIn(ctx, access.Origin{Address: "x"}, "maeve", "wrong"); err == access.ErrRefused {
			wrong++
		}
	}
	clock.Move(time.Hour)
	_, err := a.SignIn(ctx, access.Origin{Address: "x"}, "maeve", accesstest.Password)
	is(t, "the right one from elsewhere", err, access.ErrRefused)
	_, err = a.SignIn(ctx, access.Origin{Address: "y", Device: own}, "maeve", accesstest.Password)
	fits(t, "on her device", err)
	_, err = a.SignIn(ctx, access.Origin{Address: "x"}, "maeve", accesstest.Password)
	fits(t, "elsewhere, after she was proven", err)
}

func TestSessionEnds(t *testing.T) {
	for name, c := range map[string]struct {
		do   func(*access.Access, *accesstest.Clock, access.SignedIn)
		open bool
	}{
		"used": {func(a *access.Access, c *accesstest.Clock, in access.SignedIn) {
			for range 20 {
				c.Move(29 * time.Minute)
				a.Session(ctx, in.Token)
			}
		}, true},
		"idle, a moment before": {func(_ *access.Access, c *accesstest.Clock, _ access.SignedIn) { c.Move(30*time.Minute - 1) }, true},
		"idle":                  {func(_ *access.Access, c *accesstest.Clock, _ access.SignedIn) { c.Move(30 * time.Minute) }, false},
		"absolute": {func(a *access.Access, c *accesstest.Clock, in access.SignedIn) {
			for range 13 * 3 {
				c.Move(20 * time.Minute)
				a.Session(ctx, in.Token)
			}
		}, false},
		"a clock set back": {func(_ *access.Access, c *accesstest.Clock, _ access.SignedIn) { c.Move(-time.Hour) }, false},
		"signed out": {func(a *access.Access, _ *accesstest.Clock, in access.SignedIn) {
			a.SignOut(ctx, access.Origin{Session: in.Token})
		}, false},
		"locked": {func(a *access.Access, _ *accesstest.Clock, _ access.SignedIn) {
			a.Lock(ctx, access.Console(), access.Origin{}, "maeve", true)
		}, false},
		"reset": {func(a *access.Access, _ *accesstest.Clock, _ access.SignedIn) {
			a.Reset(ctx, access.Console(), access.Origin{}, "maeve")
		}, false},
		"ended by its owner": {func(a *access.Access, _ *accesstest.Clock, in access.SignedIn) {
			a.End(ctx, in.Who, access.Origin{}, "maeve", in.Who.Session)
		}, false},
		"all others ended by its owner": {func(a *access.Access, _ *accesstest.Clock, in access.SignedIn) {
			a.End(ctx, in.Who, access.Origin{}, "maeve", "")
		}, true},
		"tried to be ended by a colleague": {func(a *access.Access, _ *accesstest.Clock, _ access.SignedIn) {
			a.End(ctx, accesstest.In(t, a, "olga").Who, access.Origin{}, "maeve", "")
		}, true},
	} {
		t.Run(name, func(t *testing.T) {
			a, _, clock := ward(t)
			in := accesstest.In(t, a, "maeve")
			c.do(a, clock, in)
			_, err := a.Session(ctx, in.Token)
			if open := err == nil; open != c.open {
				t.Errorf("%v", err)
			}
		})
	}
}

// A session is as its owner is now: a role that is taken away is gone with the next request.
func TestRolesOfNow(t *testing.T) {
	a, _, _ := ward(t)
	in := accesstest.In(t, a, "maeve")
	fits(t, "roles", a.SetRoles(ctx, access.Console(), access.Origin{}, "maeve", home, []access.Role{access.Clerk}))
	who := session(t, a, in.Token)
	if who.May(home, access.ReadInfants) || !who.May(home, access.Export) {
		t.Errorf("%+v", who)
	}
}

// Only digests of what lets in are kept.
func TestSecretsAreNotKept(t *testing.T) {
	a, store, _ := ward(t)
	in := accesstest.In(t, a, "maeve")
	link, err := a.Reset(ctx, access.Console(), access.Origin{}, "tove")
	fits(t, "reset", err)
	code, err := a.LetIn(ctx, accesstest.In(t, a, "olga").Who, access.Origin{}, "maeve", time.Time{})
	fits(t, "let in", err)
	all := store.Everything()
	for what, secret := range map[string]string{"session": in.Token, "device": in.Device, "link": link, "code": code,
		"password": accesstest.Password} {
		if secret == "" || strings.Contains(all, secret) {
			t.Errorf("%s is kept", what)
		}
	}
}

// A hash that was made at another cost is made anew when its owner signs in.
func TestHashIsRenewed(t *testing.T) {
	a, store, _ := ward(t)
	a.Hash = access.HashCost{Memory: 128, Passes: 1, Threads: 1}
	accesstest.In(t, a, "maeve")
	if !strings.Contains(store.Everything(), "$argon2id$v=19$m=128,t=1,p=1$") {
		t.Error("it is the old one")
	}
	accesstest.In(t, a, "maeve")
}

// Where the trace cannot be kept nobody is let in.
func TestNoTraceNoSession(t *testing.T) {
	a, store, _ := ward(t)
	store.Fails = errors.New("the disk is full")
	in, err := a.SignIn(ctx, access.Origin{Address: "a"}, "maeve", accesstest.Password)
	if err == nil || in.Who != nil && err == nil {
		t.Fatal("let in")
	}
	if _, err := a.Session(ctx, in.Token); err == nil {
		t.Error("there is a session")
	}
}

func TestSessions(t *testing.T) {
	a, _, clock := ward(t)
	first := accesstest.In(t, a, "maeve")
	clock.Move(2 * time.Minute)
	second := accesstest.In(t, a, "maeve")
	all, err := a.Sessions(ctx, second.Who, "maeve")
	if err != nil || len(all) != 2 || !all[0].Current || all[1].Current || all[1].ID != first.Who.Session ||
		!all[1].Made.Equal(accesstest.Start) {
		t.Fatalf("%+v, %v", all, err)
	}
	_, err = a.Sessions(ctx, accesstest.In(t, a, "olga").Who, "maeve")
	is(t, "a colleague lists them", err, access.ErrNotAllowed)
	if all, err := a.Sessions(ctx, accesstest.In(t, a, "kim").Who, "maeve"); err != nil || len(all) != 2 {
		t.Errorf("her keeper: %v %v", all, err)
	}
	fits(t, "end", a.End(ctx, second.Who, access.Origin{}, "maeve", first.Who.Session))
	_, err = a.Session(ctx, first.Token)
	is(t, "the one that was ended", err, access.ErrNoSession)
	session(t, a, second.Token)
}
