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

func TestFirstKeeper(t *testing.T) {
	a, _, clock := accesstest.New(home)
	if yes, err := a.Anyone(ctx); yes || err != nil {
		t.Fatal(yes, err)
	}
	early, err := a.FirstKeeper(ctx)
	fits(t, "link", err)
	link, err := a.FirstKeeper(ctx) // printed anew when the server starts again
	fits(t, "link", err)
	become := func(link string) error {
		return a.BecomeKeeper(ctx, access.Origin{}, link, "kim", "Kim", accesstest.Password)
	}
	is(t, "the link before", become(early), access.ErrRefused)
	is(t, "none", become(""), access.ErrRefused)
	if _, first, err := a.LinkFor(ctx, link); !first || err != nil {
		t.Error(first, err)
	}
	clock.Move(23 * time.Hour)
	fits(t, "become", become(link))
	is(t, "again", become(link), access.ErrRefused)
	if who := accesstest.In(t, a, "kim").Who; !who.Is(access.Keeper) || who.May(home, access.ReadInfants) {
		t.Errorf("%+v", who)
	}
	_, err = a.FirstKeeper(ctx)
	is(t, "a second first", err, access.ErrNotFirst)
}

func TestFirstKeeperLinkEnds(t *testing.T) {
	a, _, clock := accesstest.New(home)
	link, err := a.FirstKeeper(ctx)
	fits(t, "link", err)
	clock.Move(24 * time.Hour)
	is(t, "a day later", a.BecomeKeeper(ctx, access.Origin{}, link, "kim", "Kim", accesstest.Password), access.ErrRefused)
}

// A link for the first keeper is worth nothing once somebody came in by the console.
func TestFirstKeeperIsFirst(t *testing.T) {
	a, _, _ := accesstest.New(home)
	link, err := a.FirstKeeper(ctx)
	fits(t, "link", err)
	accesstest.Add(t, a, home, "kim", access.Keeper)
	is(t, "too late", a.BecomeKeeper(ctx, access.Origin{}, link, "eve", "Eve", accesstest.Password), access.ErrRefused)
}

func TestSetPasswordByLink(t *testing.T) {
	a, _, _ := ward(t)
	old := accesstest.In(t, a, "maeve")
	link, err := a.Reset(ctx, accesstest.In(t, a, "kim").Who, access.Origin{}, "maeve")
	fits(t, "reset", err)
	const other = "seven otters rowing home"
	for _, weak := range []string{"short", strings.Repeat("a", 300), "maeve maeve maeve maeve", "neonatal ward fern!"} {
		if err := a.SetPassword(ctx, access.Origin{}, link, weak); !errors.As(err, new(*access.Unfit)) {
			t.Errorf("%q: %v", weak, err)
		}
	}
	fits(t, "set", a.SetPassword(ctx, access.Origin{}, link, other))
	is(t, "again", a.SetPassword(ctx, access.Origin{}, link, other), access.ErrRefused)
	_, err = a.Session(ctx, old.Token)
	is(t, "her session of before", err, access.ErrNoSession)
	_, err = a.SignIn(ctx, access.Origin{Address: "a"}, "maeve", accesstest.Password)
	is(t, "the password of before", err, access.ErrRefused)
	_, err = a.SignIn(ctx, access.Origin{Address: "a"}, "maeve", other)
	fits(t, "the new one", err)
}

func TestChangePassword(t *testing.T) {
	a, _, _ := ward(t)
	elsewhere, in := accesstest.In(t, a, "maeve"), accesstest.In(t, a, "maeve")
	from := access.Origin{Address: "a", Session: in.Token}
	const other = "seven otters rowing home"
	is(t, "without the one before", a.ChangePassword(ctx, in.Who, from, "wrong", other), access.ErrRefused)
	fits(t, "change", a.ChangePassword(ctx, in.Who, from, accesstest.Password, other))
	session(t, a, in.Token)
	_, err := a.Session(ctx, elsewhere.Token)
	is(t, "her other session", err, access.ErrNoSession)
}

// After a change of the password the device that she is on is still hers: a PIN can be set
// there anew, and the one before is worth nothing.
func TestChangePasswordKeepsTheDevice(t *testing.T) {
	a, _, _ := ward(t)
	in, from := withPIN(t, a, "maeve", "")
	const other = "seven otters rowing home"
	fits(t, "change", a.ChangePassword(ctx, in.Who, from, accesstest.Password, other))
	_, err := a.ChangeOver(ctx, from, "maeve", pin)
	is(t, "the PIN before", err, access.ErrRefused)
	fits(t, "a PIN", a.SetPIN(ctx, in.Who, from, other, pin))
	_, err = a.ChangeOver(ctx, from, "maeve", pin)
	fits(t, "change over", err)
}

// between does something before a write, once as many were let pass.
type between struct {
	access.Store
	pass int
	do   func()
}

func (b *between) Write(ctx context.Context, do func(access.Tx) error) error {
	if first := b.do; first != nil && b.pass == 0 {
		b.do = nil
		first()
	}
	b.pass--
	return b.Store.Write(ctx, do)
}

// A keeper's reset stands, though the password was being changed meanwhile.
func TestResetBeatsChangePassword(t *testing.T) {
	a, store, _ := ward(t)
	in := accesstest.In(t, a, "maeve")
	link := ""
	a.Store = &between{store, 0, func() {
		var err error
		link, err = a.Reset(ctx, access.Console(), access.Origin{}, "maeve")
		fits(t, "reset", err)
	}}
	err := a.ChangePassword(ctx, in.Who, access.Origin{Session: in.Token}, accesstest.Password, "seven otters rowing home")
	is(t, "change", err, access.ErrRefused)
	fits(t, "her link", a.SetPassword(ctx, access.Origin{}, link, "nine herons over the mill"))
}

func TestPasswordRules(t *testing.T) {
	a, _, clock := ward(t)
	set := func(password string) error {
		clock.Move(time.Hour)
		link, err := a.Reset(ctx, access.Console(), access.Origin{}, "maeve")
		fits(t, "reset", err)
		return a.SetPassword(ctx, access.Origin{}, link, password)
	}
	for _, good := range []string{
		"copper lantern, two oars", "пятнадцать слов у моря", "🐢🦊 horse and a wagon", "   blanks keep their place   ",
		strings.Repeat("k7 lamp ", 32), "qjzvkxwpmbhgtyd", // no rule of composition
	} {
		if err := set(good); err != nil {
			t.Errorf("%q: %v", good, err)
		} else if _, err := a.SignIn(ctx, access.Origin{Address: "a"}, "maeve", good); err != nil {
			t.Errorf("%q: %v", good, err)
		}
	}
	for _, bad := range []string{
		"fourteen chars", "aaaaaaaaaaaaaaa", "123456789012345", "qwertyuiopasdfg", "passwordpassword", "Password12345678",
		"maeve.maeve.maeve",
		"cotline cotline", "abcabcabcabcabcabc", strings.Repeat("k7 lamp ", 33), "bytes of no text \xff\xfe",
	} {
		if err := set(bad); !errors.As(err, new(*access.Unfit)) {
			t.Errorf("%q: %v", bad, err)
		} else if strings.Contains(err.Error(), bad) {
			t.Errorf("it says again what was typed: %v", err)
		}
	}
}

func TestLetIn(t *testing.T) {
	a, _, clock := ward(t)
	olga := accesstest.In(t, a, "olga")
	code, err := a.LetIn(ctx, olga.Who, access.Origin{}, "maeve", clock.At.Add(5*time.Hour))
	fits(t, "let in", err)
	_, err = a.ByCode(ctx, access.Origin{Address: "a"}, "tove", code)
	is(t, "another's", err, access.ErrRefused)
	in, err := a.ByCode(ctx, access.Origin{Address: "a"}, "Maeve", strings.ToLower(code[:4]+" "+code[4:8]+"-"+code[8:]))
	fits(t, "in", err)
	_, err = a.ByCode(ctx, access.Origin{Address: "a"}, "maeve", code)
	is(t, "twice", err, access.ErrRefused)
	who := session(t, a, in.Token)
	if who.Method != access.ByLetIn || who.LetInBy != "olga" || !who.May(home, access.Chart) || !who.May(home, access.HandOver) {
		t.Errorf("%+v", who)
	}
	for _, p := range []access.Permission{access.LetIn, access.LookBeyond, access.OwnAccount, access.ManagePeople, access.Export} {
		if who.May(home, p) {
			t.Errorf("may %s", p)
		}
	}
	from := access.Origin{Session: in.Token}
	is(t, "change the password", a.ChangePassword(ctx, who, from, accesstest.Password, "seven otters rowing home"), access.ErrNotAllowed)
	is(t, "set a PIN", a.SetPIN(ctx, who, from, accesstest.Password, pin), access.ErrNotAllowed)
	is(t, "end sessions", a.End(ctx, who, from, "maeve", ""), access.ErrNotAllowed)
	_, err = a.LetIn(ctx, who, from, "tove", time.Time{})
	is(t, "let in another", err, access.ErrNotAllowed)
	for range 15 {
		clock.Move(20 * time.Minute)
		a.Session(ctx, in.Token)
	}
	_, err = a.Session(ctx, in.Token)
	is(t, "after the shift", err, access.ErrNoSession)
	all := events(t, a, home, access.GaveCode, access.SignIn)
	last := all[len(all)-1]
	if last.Who != "maeve" || last.LetInBy != "olga" || last.Method != access.ByLetIn || all[len(all)-2].Whom != "maeve" {
		t.Errorf("the trace says %+v", all)
	}
}

func TestLetInIsRefused(t *testing.T) {
	a, _, clock := ward(t)
	olga := accesstest.In(t, a, "olga").Who
	for what, c := range map[string]struct {
		by   *access.Who
		whom string
	}{
		"by who has no right to": {accesstest.In(t, a, "maeve").Who, "olga"},
		"by a keeper":            {accesstest.In(t, a, "kim").Who, "maeve"},
		"by the console":         {access.Console(), "maeve"},
		"by nobody":              {nil, "maeve"},
		"oneself":                {olga, "olga"},
		"a keeper":               {olga, "kim"},
		"of another unit":        {olga, "tove"},
		"who is not there":       {olga, "nobody"},
	} {
		_, err := a.LetIn(ctx, c.by, access.Origin{}, c.whom, time.Time{})
		is(t, what, err, access.ErrNotAllowed)
	}
	code, err := a.LetIn(ctx, olga, access.Origin{}, "maeve", time.Time{})
	fits(t, "let in", err)
	clock.Move(10 * time.Minute)
	_, err = a.ByCode(ctx, access.Origin{Address: "a"}, "maeve", code)
	is(t, "ten minutes later", err, access.ErrRefused)
}

// Codes are few letters: whoever tries them is slowed as with passwords.
func TestCodesAreSlowed(t *testing.T) {
	a, _, _ := ward(t)
	code, err := a.LetIn(ctx, accesstest.In(t, a, "olga").Who, access.Origin{}, "maeve", time.Time{})
	fits(t, "let in", err)
	tries := 0
	for ; tries < 100; tries++ {
		if _, err := a.ByCode(ctx, access.Origin{Address: "a"}, "maeve", "AAAABBBB"); limited(err) {
			break
		}
	}
	if tries != 5 || len(code) != 8 {
		t.Errorf("%d tries of %d letters", tries, len(code))
	}
}

// Who cannot sign in because somebody guesses at her name, and at her codes, is let in by a
// colleague all the same.
func TestLetInWhileSomebodyGuesses(t *testing.T) {
	a, _, _ := ward(t)
	attacker := access.Origin{Address: "x"}
	for range 10 {
		a.SignIn(ctx, attacker, "maeve", "wrong")
		a.ByCode(ctx, attacker, "maeve", "AAAABBBB")
	}
	if _, err := a.SignIn(ctx, access.Origin{Address: "a"}, "maeve", accesstest.Password); !limited(err) {
		t.Fatal("nobody guessed", err)
	}
	code, err := a.LetIn(ctx, accesstest.In(t, a, "olga").Who, access.Origin{}, "maeve", time.Time{})
	fits(t, "let in", err)
	_, err = a.ByCode(ctx, access.Origin{Address: "a"}, "maeve", code)
	fits(t, "by her code", err)
}
