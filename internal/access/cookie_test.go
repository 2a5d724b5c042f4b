package access_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

func TestCookies(t *testing.T) {
	token := strings.Repeat("k", 42) + "A"
	for _, tls := range []bool{true, false} {
		c := access.Cookies{TLS: tls}
		for name, set := range map[string]*http.Cookie{"session": c.Session(token), "device": c.Device(token, time.Hour),
			"openid": c.State(token)} {
			text := set.String()
			if !strings.Contains(text, "HttpOnly") || !strings.Contains(text, "Path=/") || strings.Contains(text, "Domain") ||
				strings.Contains(text, "Secure") != tls || strings.HasPrefix(text, "__Host-") != tls {
				t.Errorf("%s: %s", name, text)
			}
			if strict := strings.Contains(text, "SameSite=Strict"); strict == (name == "openid") {
				t.Errorf("%s: %s", name, text)
			}
		}
		if text := c.Gone(c.Session(token)).String(); !strings.Contains(text, "Max-Age=0") || strings.Contains(text, token) {
			t.Error(text)
		}
		r := httptest.NewRequest("GET", "/", nil)
		r.AddCookie(c.Session(token))
		r.AddCookie(c.Device(token, time.Hour))
		from := c.Origin(r, "192.0.2.7", "r-1")
		if from.Session != token || from.Device != token || from.Address != "192.0.2.7" || from.Request != "r-1" {
			t.Errorf("%+v", from)
		}
		r.AddCookie(c.Session(strings.Repeat("z", 42) + "A"))
		if from := c.Origin(r, "", ""); from.Session != "" {
			t.Error("of two cookies one is taken")
		}
		other := httptest.NewRequest("GET", "/", nil)
		other.AddCookie(access.Cookies{TLS: !tls}.Session(token))
		if c.Origin(other, "", "").Session != "" {
			t.Error("a cookie of the other name is taken")
		}
	}
}

func TestBearerToken(t *testing.T) {
	for text, want := range map[string]string{"Bearer abc": "abc", "bearer abc": "abc", "Basic abc": "", "abc": "", "": ""} {
		if got := access.BearerToken(http.Header{"Authorization": {text}}); got != want {
			t.Errorf("%q: %q", text, got)
		}
	}
	if access.BearerToken(http.Header{"Authorization": {"Bearer a", "Bearer b"}}) != "" {
		t.Error("of two headers one is taken")
	}
}

// What a stranger can send before he signed in never panics, and lets nobody in.
func FuzzTokens(f *testing.F) {
	a, _, _ := accesstest.New(home)
	for _, s := range []string{"", "a", strings.Repeat("A", 43), strings.Repeat("A", 42) + "B", strings.Repeat("=", 43),
		strings.Repeat("é", 43), "A\x00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		if who, err := a.Session(ctx, text); err != access.ErrNoSession || who != nil {
			t.Errorf("%v %v", who, err)
		}
		if who, err := a.Bearer(ctx, text); err != access.ErrNoSession || who != nil {
			t.Errorf("%v %v", who, err)
		}
		if _, _, err := a.LinkFor(ctx, text); err != access.ErrRefused {
			t.Error(err)
		}
		r := httptest.NewRequest("GET", "/", nil)
		r.Header.Set("Cookie", text)
		c := access.Cookies{}
		if from := c.Origin(r, "", ""); len(from.Session) > 43 || len(c.StateOf(r)) > 43 {
			t.Errorf("%+v", from)
		}
	})
}

func FuzzAssertion(f *testing.F) {
	a, _, clock := accesstest.New(home)
	p := programOf(f, home)
	if err := a.AddProgram(ctx, access.Console(), access.Origin{}, p); err != nil {
		f.Fatal(err)
	}
	s := good(clock.At)
	s.claims["exp"] = clock.At.Add(-time.Hour).Unix() // so that none of its children is good
	f.Add(s.sign(f))
	f.Add("..")
	f.Add("eyJhbGciOiJub25lIn0.e30.")
	n := 0
	f.Fuzz(func(t *testing.T, text string) {
		n++
		_, err := a.Token(ctx, access.Origin{Address: strings.Repeat("x", n%5)}, formOf(text, "system/*.rs"))
		if code := codeOf(err); code != "invalid_client" && code != "slow_down" {
			t.Errorf("%v", err)
		}
		clock.Move(time.Second)
	})
}

func FuzzScopes(f *testing.F) {
	for _, s := range []string{"system/*.rs", "system/Patient.r system/Device.s", "user/*.rs", "system/*.cruds", " \t",
		"system/*.rs\x00"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got, err := access.ParseScopes(text)
		if err != nil {
			return
		}
		again, err := access.ParseScopes(got.String())
		if err != nil || again.String() != got.String() {
			t.Errorf("%q is read back as %q, %v", got, again, err)
		}
	})
}
