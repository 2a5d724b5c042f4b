package access_test

import (
	"crypto/rand"
	"crypto/rsa"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

func elsewhere(t *testing.T) (*access.Access, *accesstest.Provider, *accesstest.Clock) {
	t.Helper()
	a, _, clock := accesstest.New(home)
	p := accesstest.NewProvider(t)
	a.OpenID = &access.OpenID{Issuer: p.URL, ClientID: "cotline", Secret: "s", Redirect: "https://cotline.example/back", Claim: "groups",
		Domain: "@alder.example", Roles: map[string][]access.UnitRole{"nicu-nurses": {{Unit: home, Role: access.Nurse}},
			"nicu-clerks": {{Unit: home, Role: access.Clerk}}}}
	return a, p, clock
}

// send begins, and gives what the browser takes along.
func send(t *testing.T, a *access.Access, p *accesstest.Provider) (browser, state, nonce string) {
	t.Helper()
	address, browser, err := a.SendElsewhere(ctx, "/units/fern/ward")
	fits(t, "send", err)
	u, err := url.Parse(address)
	fits(t, "address", err)
	q := u.Query()
	if !strings.HasPrefix(address, p.URL+"/auth?") || q.Get("code_challenge_method") != "S256" || q.Get("response_type") != "code" ||
		q.Get("client_id") != "cotline" || q.Get("redirect_uri") != "https://cotline.example/back" || q.Get("scope") != "openid profile" {
		t.Errorf("sent to %s", address)
	}
	p.Challenge = q.Get("code_challenge")
	return browser, q.Get("state"), q.Get("nonce")
}

// through goes the whole way there and back, with the claims that the provider has.
func through(t *testing.T, a *access.Access, p *accesstest.Provider, clock *accesstest.Clock) (access.SignedIn, string, error) {
	t.Helper()
	browser, state, nonce := send(t, a, p)
	p.Good(clock.At, nonce)
	return a.BackFromElsewhere(ctx, access.Origin{Address: "a"}, browser, state, "the-code")
}

func TestSignInElsewhere(t *testing.T) {
	a, p, clock := elsewhere(t)
	browser, state, nonce := send(t, a, p)
	p.Good(clock.At, nonce)
	in, _, err := a.BackFromElsewhere(ctx, access.Origin{Address: "a"}, browser, state, "the-code")
	fits(t, "back", err)
	who := session(t, a, in.Token)
	if who.Name != "maeve" || who.Shown != "Maeve B." || who.Unit != home || who.Method != access.ByElsewhere ||
		!who.May(home, access.Chart) ||
		!p.Verified {
		t.Errorf("%+v", who)
	}
	_, _, err = a.BackFromElsewhere(ctx, access.Origin{}, browser, state, "the-code")
	is(t, "the same state again", err, access.ErrRefused)
	_, err = a.SignIn(ctx, access.Origin{Address: "a"}, "maeve", "")
	is(t, "without a password", err, access.ErrRefused)

	// The roles are those of the claim, each time; the name can change, the subject cannot.
	p.Claims = map[string]any{"groups": "nicu-clerks", "preferred_username": "maeve.new", "name": "Maeve New"}
	in, _, err = through(t, a, p, clock)
	fits(t, "back", err)
	if who := session(t, a, in.Token); who.Name != "maeve" || who.Shown != "Maeve New" || who.May(home, access.Chart) ||
		!who.May(home, access.Export) {
		t.Errorf("%+v", who)
	}
	fits(t, "lock", a.Lock(ctx, access.Console(), access.Origin{}, "maeve", true))
	p.Claims = map[string]any{}
	_, _, err = through(t, a, p, clock)
	is(t, "locked", err, access.ErrRefused)
}

// Somebody who has no role yet is refused, nothing of her is kept, and she gets in once she has
// one.
func TestRolesComeLater(t *testing.T) {
	a, p, clock := elsewhere(t)
	for _, groups := range []string{"choir", "nicu-nurses"} {
		p.Claims = map[string]any{"groups": groups}
		in, _, err := through(t, a, p, clock)
		if groups != "choir" {
			fits(t, "with a role", err)
			session(t, a, in.Token)
			continue
		}
		is(t, "without a role", err, access.ErrRefused)
		if people, _, err := a.People(ctx, access.Console()); err != nil || len(people) > 0 {
			t.Error(people, err)
		}
	}
}

func TestSignInElsewhereIsRefused(t *testing.T) {
	stranger, err := rsa.GenerateKey(rand.Reader, 2048)
	fits(t, "key", err)
	type sent struct{ browser, state, nonce, code string }
	for name, c := range map[string]func(*testing.T, *access.Access, *accesstest.Provider, *accesstest.Clock, *sent){
		"another browser": func(t *testing.T, a *access.Access, p *accesstest.Provider, _ *accesstest.Clock, s *sent) {
			challenge := p.Challenge
			s.browser, _, _ = send(t, a, p)
			p.Challenge = challenge
		},
		"no browser": func(_ *testing.T, _ *access.Access, _ *accesstest.Provider, _ *accesstest.Clock, s *sent) {
			s.browser = ""
		},
		"a made-up state": func(_ *testing.T, _ *access.Access, _ *accesstest.Provider, _ *accesstest.Clock, s *sent) {
			s.state = s.browser
		},
		"no state": func(_ *testing.T, _ *access.Access, _ *accesstest.Provider, _ *accesstest.Clock, s *sent) {
			s.state = ""
		},
		"too late": func(_ *testing.T, _ *access.Access, _ *accesstest.Provider, c *accesstest.Clock, _ *sent) {
			c.Move(10 * time.Minute)
		},
		"another code": func(_ *testing.T, _ *access.Access, _ *accesstest.Provider, _ *accesstest.Clock, s *sent) {
			s.code = "another"
		},
		"a verifier of another": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Challenge = "x"
		},
		"another nonce": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Claims["nonce"] = "x"
		},
		"no nonce": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Claims["nonce"] = ""
		},
		"for another client": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Claims["aud"] = "x"
		},
		"of another issuer": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Claims["iss"] = "x"
		},
		"no subject": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Claims["sub"] = ""
		},
		"over": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Claims["exp"] = 1
		},
		"signed by a stranger": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Key = stranger
		},
		"in no group of ours": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Claims["groups"] = []string{"choir"}
		},
		"a claim of numbers": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Claims["groups"] = 7
		},
		"a name that none can be": func(_ *testing.T, _ *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			p.Claims["preferred_username"] = "<script>"
		},
		"the name of an account here": func(t *testing.T, a *access.Access, p *accesstest.Provider, _ *accesstest.Clock, _ *sent) {
			accesstest.Add(t, a, home, "kim", access.Keeper)
			p.Claims["preferred_username"] = "kim"
		},
	} {
		t.Run(name, func(t *testing.T) {
			a, p, clock := elsewhere(t)
			s := &sent{code: "the-code"}
			s.browser, s.state, s.nonce = send(t, a, p)
			c(t, a, p, clock, s)
			p.Good(clock.At, s.nonce)
			in, _, err := a.BackFromElsewhere(ctx, access.Origin{Address: "a"}, s.browser, s.state, s.code)
			is(t, name, err, access.ErrRefused)
			if in.Token != "" {
				t.Error("a session")
			}
			if n := len(events(t, a, home, access.SignInRefused)); n != 1 {
				t.Errorf("%d traced", n)
			}
		})
	}
}

// Who is who she says is told why she is kept out, and the keeper finds it in the trace.
func TestWhyElsewhereRefuses(t *testing.T) {
	for why, change := range map[access.Why]func(*testing.T, *access.Access, map[string]any){
		access.HasNoRole: func(_ *testing.T, _ *access.Access, c map[string]any) { c["groups"] = "choir" },
		access.HasNoName: func(_ *testing.T, _ *access.Access, c map[string]any) {
			c["preferred_username"] = "maeve@elsewhere.example"
		},
		access.NameIsTaken: func(t *testing.T, a *access.Access, c map[string]any) {
			accesstest.Add(t, a, home, "kim", access.Keeper)
			c["preferred_username"] = "kim"
		},
		access.NotAsked: func(_ *testing.T, a *access.Access, c map[string]any) { // she was before the sign-in began
			c["auth_time"] = a.Now().Add(-time.Minute).Unix()
			c["groups"] = "choir" // which whoever is there now is not told
		},
		access.IsLocked: func(t *testing.T, a *access.Access, _ map[string]any) {
			fits(t, "lock", a.Lock(ctx, access.Console(), access.Origin{}, "maeve", true))
		},
	} {
		t.Run(string(why), func(t *testing.T) {
			a, p, clock := elsewhere(t)
			_, next, err := through(t, a, p, clock)
			if fits(t, "as she is", err); next != "/units/fern/ward" {
				t.Errorf("goes on to %q", next)
			}
			p.Claims = map[string]any{}
			if why == access.HasNoName || why == access.NameIsTaken {
				p.Claims["sub"] = "4712" // somebody who was not here yet
			}
			change(t, a, p.Claims)
			_, _, err = through(t, a, p, clock)
			var proven *access.Proven
			if !errors.As(err, &proven) || proven.Why != why || !errors.Is(err, access.ErrRefused) {
				t.Errorf("%v", err)
			}
			e := events(t, a, home, access.SignInRefused)
			if len(e) != 1 || e[0].Detail != string(why) {
				t.Errorf("%+v", e)
			}
		})
	}
}

// Who lost her roles at the provider has none in what she is signed in on, either.
func TestRolesAreTakenAway(t *testing.T) {
	a, p, clock := elsewhere(t)
	in, _, err := through(t, a, p, clock)
	fits(t, "back", err)
	p.Claims = map[string]any{"groups": "choir"}
	_, _, err = through(t, a, p, clock)
	is(t, "without a role", err, access.ErrRefused)
	if who := session(t, a, in.Token); who.May(home, access.ReadInfants) {
		t.Errorf("%+v", who)
	}
}

// The name by which she charts is of the claim that was chosen.
func TestNameOfAnotherClaim(t *testing.T) {
	a, p, clock := elsewhere(t)
	a.OpenID.Name = "staff_key"
	p.Claims = map[string]any{"staff_key": "RN-Agate", "preferred_username": "maeve@elsewhere.example"}
	in, _, err := through(t, a, p, clock)
	fits(t, "back", err)
	if in.Who.Name != "rn-agate" {
		t.Errorf("%+v", in.Who)
	}
}

// A provider that does not answer is not asked by each who waits.
func TestProviderIsDown(t *testing.T) {
	a, _, clock := accesstest.New(home)
	asked := 0
	down := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		asked++
		clock.Move(10 * time.Second) // it is waited for
		w.WriteHeader(http.StatusInternalServerError)
	}))
	defer down.Close()
	a.OpenID = &access.OpenID{Issuer: down.URL, ClientID: "cotline"}
	for range 3 {
		_, _, err := a.SendElsewhere(ctx, "")
		is(t, "down", err, access.ErrProvider)
	}
	if asked != 1 {
		t.Errorf("asked %d times", asked)
	}
	clock.Move(5 * time.Second)
	_, _, err := a.SendElsewhere(ctx, "")
	if is(t, "still", err, access.ErrProvider); asked != 2 {
		t.Errorf("asked %d times", asked)
	}
}

// A provider that names itself otherwise than it was named to us is none of ours.
func TestProviderNamesItself(t *testing.T) {
	a, _, _ := elsewhere(t)
	a.OpenID.Issuer += "/"
	_, _, err := a.SendElsewhere(ctx, "/units/fern/ward")
	is(t, "another issuer", err, access.ErrProvider)
	a.OpenID = nil
	_, _, err = a.SendElsewhere(ctx, "/units/fern/ward")
	is(t, "none", err, access.ErrProvider)
}

// Of what the provider gives nothing stays but who it was.
func TestSecretsOfElsewhereAreNotKept(t *testing.T) {
	a, p, clock := elsewhere(t)
	browser, state, nonce := send(t, a, p)
	p.Good(clock.At, nonce)
	_, _, err := a.BackFromElsewhere(ctx, access.Origin{Address: "a"}, browser, state, "the-code")
	fits(t, "back", err)
	all := a.Store.(*accesstest.Memory).Everything()
	for _, secret := range []string{browser, state, nonce, "the-code", "4711", "eyJ"} {
		if strings.Contains(all, secret) {
			t.Errorf("%s is kept", secret)
		}
	}
}
