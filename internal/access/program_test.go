package access_test

import (
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/rsa"
	"encoding/json"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/go-jose/go-jose/v4"
	"github.com/go-jose/go-jose/v4/jwt"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// keys are made once: RSA keys take their time.
var keys = sync.OnceValue(func() map[jose.SignatureAlgorithm]any {
	r, err := rsa.GenerateKey(rand.Reader, 2048)
	e, err2 := ecdsa.GenerateKey(elliptic.P384(), rand.Reader)
	if err = errors.Join(err, err2); err != nil {
		panic(err)
	}
	return map[jose.SignatureAlgorithm]any{jose.RS384: r, jose.ES384: e}
})

func publicKeys(t testing.TB) string {
	t.Helper()
	set := jose.JSONWebKeySet{Keys: []jose.JSONWebKey{
		{
			Key:   keys()[jose.RS384].(*rsa.PrivateKey).Public(),
			KeyID: "r",
		}, {Key: keys()[jose.ES384].(*ecdsa.PrivateKey).Public(), KeyID: "e"},
	}}
	text, err := json.Marshal(set)
	fits(t, "keys", err)
	return string(text)
}

func programOf(t testing.TB, unit string) access.Program {
	return access.Program{
		ID:     "lab",
		Shown:  "Lab",
		Units:  []string{unit},
		Scopes: "system/Observation.rs system/Patient.r",
		Keys:   publicKeys(t),
	}
}

func withProgram(t testing.TB) (*access.Access, *accesstest.Clock) {
	t.Helper()
	a, _, clock := accesstest.New(home)
	fits(t, "add", a.AddProgram(ctx, access.Console(), access.Origin{}, programOf(t, home)))
	return a, clock
}

// assertion is one of the program, with claims and header changed.
type assertion struct {
	alg    jose.SignatureAlgorithm
	kid    string
	key    any
	header map[string]any
	claims map[string]any
}

func good(now time.Time) assertion {
	return assertion{jose.ES384, "e", nil, nil, map[string]any{"iss": "lab", "sub": "lab", "aud": "https://cotline.example/token",
		"exp": now.Add(5 * time.Minute).Unix(), "iat": now.Unix(), "jti": "1"}}
}

func (s assertion) sign(t testing.TB) string {
	t.Helper()
	key := s.key
	if key == nil {
		key = keys()[s.alg]
	}
	o := (&jose.SignerOptions{}).WithType("JWT")
	if s.kid != "" {
		o = o.WithHeader("kid", s.kid)
	}
	for name, value := range s.header {
		o = o.WithHeader(jose.HeaderKey(name), value)
	}
	signer, err := jose.NewSigner(jose.SigningKey{Algorithm: s.alg, Key: key}, o)
	fits(t, "signer", err)
	text, err := jwt.Signed(signer).Claims(s.claims).Serialize()
	fits(t, "sign", err)
	return text
}

func formOf(assertion, scope string) url.Values {
	return url.Values{"grant_type": {"client_credentials"}, "scope": {scope}, "client_assertion": {assertion},
		"client_assertion_type": {"urn:ietf:params:oauth:client-assertion-type:jwt-bearer"}}
}

func codeOf(err error) string {
	var e *access.TokenError
	if errors.As(err, &e) {
		return e.Code
	}
	return ""
}

func TestToken(t *testing.T) {
	for _, alg := range []jose.SignatureAlgorithm{jose.RS384, jose.ES384} {
		t.Run(string(alg), func(t *testing.T) {
			a, clock := withProgram(t)
			s := good(clock.At)
			s.alg, s.kid = alg, strings.ToLower(string(alg[:1]))
			got, err := a.Token(ctx, access.Origin{}, formOf(s.sign(t), "system/*.rs"))
			fits(t, "token", err)
			if got.TokenType != "bearer" || got.ExpiresIn != 300 || got.Scope != "system/Observation.rs system/Patient.r" {
				t.Errorf("%+v", got)
			}
			who, err := a.Bearer(ctx, got.AccessToken)
			fits(t, "bearer", err)
			if !who.May(home, access.ReadFHIR) || who.May("moss", access.ReadFHIR) || who.May(home, access.ReadInfants) ||
				who.May(home, access.ReceiveFHIR) {
				t.Errorf("%+v", who)
			}
			if !who.Scopes.Allow("Observation", 's') || who.Scopes.Allow("Patient", 's') || who.Scopes.Allow("Device", 'r') {
				t.Errorf("%v", who.Scopes)
			}
			if _, err := a.Session(ctx, got.AccessToken); err == nil {
				t.Error("a program's token is a session")
			}
			clock.Move(5*time.Minute - 1)
			if _, err := a.Bearer(ctx, got.AccessToken); err != nil {
				t.Error(err)
			}
			clock.Move(1)
			_, err = a.Bearer(ctx, got.AccessToken)
			is(t, "five minutes later", err, access.ErrNoSession)
		})
	}
}

// Each assertion is good once, until it could not be good any more, and the same jti of
// another program is another.
func TestAssertionIsGoodOnce(t *testing.T) {
	a, clock := withProgram(t)
	other := programOf(t, home)
	other.ID = "lab2"
	fits(t, "add", a.AddProgram(ctx, access.Console(), access.Origin{}, other))
	s := good(clock.At)
	text := s.sign(t)
	take := func(text string) error {
		_, err := a.Token(ctx, access.Origin{}, formOf(text, "system/*.rs"))
		return err
	}
	fits(t, "first", take(text))
	s.claims["exp"] = clock.At.Add(4 * time.Minute).Unix()
	for _, wait := range []time.Duration{0, time.Minute, 4*time.Minute + 5*time.Second} {
		clock.Move(wait)
		if err := take(text); codeOf(err) != "invalid_client" {
			t.Errorf("after %v: %v", wait, err)
		}
		if err := take(s.sign(t)); codeOf(err) != "invalid_client" {
			t.Errorf("the same jti in another assertion, after %v: %v", wait, err)
		}
	}
	s = good(clock.At)
	s.claims["iss"], s.claims["sub"] = "lab2", "lab2"
	fits(t, "another program's", take(s.sign(t)))
	if n := len(events(t, a, home, access.TokenRefused)); n != 6 {
		t.Errorf("%d refusals traced", n)
	}
}

func TestAssertionAtOnce(t *testing.T) {
	a, clock := withProgram(t)
	text := good(clock.At).sign(t)
	done := make(chan error, 20)
	for range cap(done) {
		go func() { _, err := a.Token(ctx, access.Origin{}, formOf(text, "system/*.rs")); done <- err }()
	}
	given := 0
	for range cap(done) {
		if <-done == nil {
			given++
		}
	}
	if given != 1 {
		t.Errorf("%d tokens of one assertion", given)
	}
}

func TestAssertionIsHeldToTheStandard(t *testing.T) {
	stranger, err := ecdsa.GenerateKey(elliptic.P384(), rand.Reader)
	fits(t, "key", err)
	now := accesstest.Start
	at := func(d time.Duration) int64 { return now.Add(d).Unix() }
	for name, c := range map[string]struct {
		change func(*assertion)
		good   bool
	}{
		"as it is": {func(*assertion) {}, true},
		"no iat":   {func(s *assertion) { delete(s.claims, "iat") }, true},
		"aud in a list": {func(s *assertion) { s.claims["aud"] = []string{"x", "https://cotline.example/token"} },
			true},
		"over, within the skew": {func(s *assertion) {
			s.claims["exp"], s.claims["iat"] = at(-9*time.Second),
				at(-time.Minute)
		}, true},
		"over": {func(s *assertion) {
			s.claims["exp"], s.claims["iat"] = at(-10*time.Second),
				at(-time.Minute)
		}, false},
		"too far ahead":                     {func(s *assertion) { s.claims["exp"] = at(5*time.Minute + 11*time.Second) }, false},
		"longer than five minutes from iat": {func(s *assertion) { s.claims["iat"] = at(-time.Second) }, false},
		"iat to come":                       {func(s *assertion) { s.claims["iat"] = at(11 * time.Second) }, false},
		"nbf to come":                       {func(s *assertion) { s.claims["nbf"] = at(11 * time.Second) }, false},
		"no exp":                            {func(s *assertion) { delete(s.claims, "exp") }, false},
		"no jti":                            {func(s *assertion) { delete(s.claims, "jti") }, false},
		"a long jti":                        {func(s *assertion) { s.claims["jti"] = strings.Repeat("j", 257) }, false},
		"no aud":                            {func(s *assertion) { delete(s.claims, "aud") }, false},
		"another aud":                       {func(s *assertion) { s.claims["aud"] = "https://cotline.example/" }, false},
		"another sub":                       {func(s *assertion) { s.claims["sub"] = "lab2" }, false},
		"another iss":                       {func(s *assertion) { s.claims["iss"] = "lab2" }, false},
		"unknown program":                   {func(s *assertion) { s.claims["iss"], s.claims["sub"] = "x1", "x1" }, false},
		"no kid":                            {func(s *assertion) { s.kid = "" }, false},
		"another kid":                       {func(s *assertion) { s.kid = "r" }, false},
		"a stranger's key":                  {func(s *assertion) { s.key = stranger }, false},
		"its key in the header": {func(s *assertion) {
			s.key, s.header = stranger, map[string]any{"jwk": jose.JSONWebKey{Key: stranger.Public(), KeyID: "e"}}
		}, false},
		"keys from elsewhere":       {func(s *assertion) { s.header = map[string]any{"jku": "https://evil.example/keys"} }, false},
		"RS256":                     {func(s *assertion) { s.alg, s.kid, s.key = jose.RS256, "r", keys()[jose.RS384] }, false},
		"HS384 with the public key": {func(s *assertion) { s.alg, s.key = jose.HS384, []byte(publicKeys(t)) }, false},
		"another typ":               {func(s *assertion) { s.header = map[string]any{"typ": "at+jwt"} }, false},
	} {
		t.Run(name, func(t *testing.T) {
			a, _ := withProgram(t)
			s := good(now)
			c.change(&s)
			_, err := a.Token(ctx, access.Origin{}, formOf(s.sign(t), "system/*.rs"))
			if c.good && err != nil || !c.good && codeOf(err) != "invalid_client" {
				t.Errorf("%v", err)
			}
		})
	}
	t.Run("no signature", func(t *testing.T) {
		a, _ := withProgram(t)
		parts := strings.Split(good(now).sign(t), ".")
		for _, text := range []string{
			"eyJhbGciOiJub25lIiwidHlwIjoiSldUIiwia2lkIjoiZSJ9." + parts[1] + ".", parts[0] + "." + parts[1] + ".",
			parts[0] + "." + parts[1] + "." + parts[2][:len(parts[2])-4] + "AAAA", strings.Repeat("a", 9000), "", "..", "{}",
		} {
			if _, err := a.Token(ctx, access.Origin{}, formOf(text, "system/*.rs")); codeOf(err) != "invalid_client" {
				t.Errorf("%.20s: %v", text, err)
			}
		}
	})
}

func TestTokenRequest(t *testing.T) {
	for name, c := range map[string]struct {
		change func(url.Values)
		want   string
	}{
		"another grant":        {func(f url.Values) { f.Set("grant_type", "password") }, "unsupported_grant_type"},
		"another type":         {func(f url.Values) { f.Set("client_assertion_type", "x") }, "invalid_request"},
		"two assertions":       {func(f url.Values) { f.Add("client_assertion", "x") }, "invalid_request"},
		"no scope":             {func(f url.Values) { f.Del("scope") }, "invalid_scope"},
		"a user's scope":       {func(f url.Values) { f.Set("scope", "user/*.rs") }, "invalid_scope"},
		"writing":              {func(f url.Values) { f.Set("scope", "system/*.cruds") }, "invalid_scope"},
		"letters out of order": {func(f url.Values) { f.Set("scope", "system/*.sr") }, "invalid_scope"},
		"one that is not its":  {func(f url.Values) { f.Set("scope", "system/Device.rs") }, "invalid_scope"},
		"another client_id":    {func(f url.Values) { f.Set("client_id", "lab2") }, "invalid_client"},
		"one of two its":       {func(f url.Values) { f.Set("scope", "system/Device.rs system/Patient.rs") }, ""},
	} {
		t.Run(name, func(t *testing.T) {
			a, clock := withProgram(t)
			form := formOf(good(clock.At).sign(t), "system/*.rs")
			c.change(form)
			got, err := a.Token(ctx, access.Origin{}, form)
			if codeOf(err) != c.want || c.want != "" && got.AccessToken != "" {
				t.Errorf("%v %+v", err, got)
			}
			if c.want == "" && got.Scope != "system/Patient.r" {
				t.Errorf("scope %s", got.Scope)
			}
		})
	}
}

// As many scopes as are taken, of the longest names, can be registered, asked for and traced; the
// blanks and lines between them are not kept.
func TestManyScopes(t *testing.T) {
	a, clock := withProgram(t)
	var all []string
	for i := range 64 {
		all = append(all, "system/M"+strings.Repeat("x", 61)+string(rune('A'+i/26))+string(rune('a'+i%26))+".rs")
	}
	p := programOf(t, home)
	p.Scopes = strings.Join(all, " \n")
	fits(t, "register", a.AddProgram(ctx, access.Console(), access.Origin{}, p))
	got, err := a.Token(ctx, access.Origin{}, formOf(good(clock.At).sign(t), strings.Join(all, " ")))
	fits(t, "token", err)
	if want := strings.Join(all, " "); got.Scope != want {
		t.Errorf("scope %s", got.Scope)
	}
	for _, e := range events(t, a, home, access.TokenGiven, access.Programs) {
		if e.Kind == access.TokenGiven && e.What != got.Scope {
			t.Errorf("traced: %s", e.What)
		}
	}
}

func TestLockedProgram(t *testing.T) {
	a, clock := withProgram(t)
	got, err := a.Token(ctx, access.Origin{}, formOf(good(clock.At).sign(t), "system/*.rs"))
	fits(t, "token", err)
	fits(t, "lock", a.LockProgram(ctx, access.Console(), access.Origin{}, "lab", true))
	_, err = a.Bearer(ctx, got.AccessToken)
	is(t, "its token", err, access.ErrNoSession)
	s := good(clock.At)
	s.claims["jti"] = "2"
	if _, err := a.Token(ctx, access.Origin{}, formOf(s.sign(t), "system/*.rs")); codeOf(err) != "invalid_client" {
		t.Error(err)
	}
}

func TestKeysByURL(t *testing.T) {
	served, asked := publicKeys(t), 0
	server := httptest.NewTLSServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		asked++
		if r.URL.Path == "/moved" {
			http.Redirect(w, r, "/keys", http.StatusFound)
			return
		}
		w.Write([]byte(served))
	}))
	defer server.Close()
	for name, c := range map[string]struct {
		path, keys string
		good       bool
	}{
		"as it is": {"/keys", publicKeys(t), true}, "moved": {"/moved", publicKeys(t), false}, "none": {"/keys", `{"keys":[]}`, false},
		"no JSON": {"/keys", "<html>", false}, "without end": {"/keys", publicKeys(t) + strings.Repeat(" ", 1<<20), false},
	} {
		t.Run(name, func(t *testing.T) {
			a, _, clock := accesstest.New(home)
			a.HTTP = server.Client()
			p := programOf(t, home)
			p.Keys, p.KeyURL = "", server.URL+c.path
			fits(t, "add", a.AddProgram(ctx, access.Console(), access.Origin{}, p))
			served, asked = c.keys, 0
			s := good(clock.At)
			s.header = map[string]any{"jku": p.KeyURL}
			_, err := a.Token(ctx, access.Origin{}, formOf(s.sign(t), "system/*.rs"))
			if c.good != (err == nil) {
				t.Fatal(err)
			}
			if !c.good {
				return
			}
			s.claims["jti"] = "2"
			_, err = a.Token(ctx, access.Origin{}, formOf(s.sign(t), "system/*.rs"))
			if err != nil || asked != 1 {
				t.Errorf("%v, asked %d times", err, asked)
			}
			for range 5 { // a kid that is not there asks again, not each time
				s.kid = "x"
				a.Token(ctx, access.Origin{}, formOf(s.sign(t), "system/*.rs"))
			}
			clock.Move(31 * time.Second)
			a.Token(ctx, access.Origin{}, formOf(s.sign(t), "system/*.rs"))
			if asked != 2 {
				t.Errorf("asked %d times", asked)
			}
		})
	}
}

func TestRegistration(t *testing.T) {
	small, err := rsa.GenerateKey(rand.Reader, 1024)
	fits(t, "key", err)
	p256, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	fits(t, "key", err)
	set := func(k jose.JSONWebKey) string {
		text, err := json.Marshal(jose.JSONWebKeySet{Keys: []jose.JSONWebKey{k}})
		fits(t, "set", err)
		return string(text)
	}
	a, _, _ := accesstest.New(home)
	for name, change := range map[string]func(*access.Program){
		"no keys":          func(p *access.Program) { p.Keys = "" },
		"both":             func(p *access.Program) { p.KeyURL = "https://lab.example/keys" },
		"plain http":       func(p *access.Program) { p.Keys, p.KeyURL = "", "http://lab.example/keys" },
		"a name in it":     func(p *access.Program) { p.Keys, p.KeyURL = "", "https://a:b@lab.example/keys" },
		"a file":           func(p *access.Program) { p.Keys, p.KeyURL = "", "file:///etc/passwd" },
		"a private key":    func(p *access.Program) { p.Keys = set(jose.JSONWebKey{Key: keys()[jose.ES384], KeyID: "e"}) },
		"a secret":         func(p *access.Program) { p.Keys = set(jose.JSONWebKey{Key: []byte("secret"), KeyID: "e"}) },
		"a small key":      func(p *access.Program) { p.Keys = set(jose.JSONWebKey{Key: small.Public(), KeyID: "e"}) },
		"another curve":    func(p *access.Program) { p.Keys = set(jose.JSONWebKey{Key: p256.Public(), KeyID: "e"}) },
		"no kid":           func(p *access.Program) { p.Keys = set(jose.JSONWebKey{Key: p256.Public()}) },
		"no unit":          func(p *access.Program) { p.Units = nil },
		"a scope to write": func(p *access.Program) { p.Scopes = "system/*.cruds" },
	} {
		p := programOf(t, home)
		change(&p)
		if err := a.AddProgram(ctx, access.Console(), access.Origin{}, p); !errors.As(err, new(*access.Unfit)) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

func TestSmartConfiguration(t *testing.T) {
	a, _ := withProgram(t)
	text, err := json.Marshal(a.Smart([]string{"Patient"}))
	fits(t, "document", err)
	const want = `{"token_endpoint":"https://cotline.example/token","grant_types_supported":["client_credentials"],` +
		`"token_endpoint_auth_methods_supported":["private_key_jwt"],` +
		`"token_endpoint_auth_signing_alg_values_supported":["RS384","ES384"],` +
		`"scopes_supported":["system/*.rs","system/Patient.rs"],"code_challenge_methods_supported":["S256"],` +
		`"capabilities":["client-confidential-asymmetric","permission-v2"]}`
	if string(text) != want {
		t.Errorf("%s", text)
	}
}
