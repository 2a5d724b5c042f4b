package web

import (
	"context"
	"crypto"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"encoding/json"
	"errors"
	"maps"
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"github.com/go-jose/go-jose/v4"
	"github.com/golang-jwt/jwt/v5"
	"golang.org/x/oauth2"
	"golang.org/x/oauth2/clientcredentials"

	"cotline/internal/access"
)

// lab is a program of the hospital, made of libraries that are none of the server's: it signs
// with golang-jwt and asks with golang.org/x/oauth2.
type lab struct {
	b   *bench
	key *ecdsa.PrivateKey
	n   int
}

func newLab(t testing.TB, b *bench) *lab {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P384(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	set, err := json.Marshal(jose.JSONWebKeySet{Keys: []jose.JSONWebKey{{Key: key.Public(), KeyID: "k1", Algorithm: "ES384", Use: "sig"}}})
	if err == nil {
		err = b.access.AddProgram(t.Context(), console, from, access.Program{ID: "lab", Shown: "Lab", Units: []string{"fern"},
			Scopes: "system/Observation.rs", Keys: string(set)})
	}
	if err != nil {
		t.Fatal(err)
	}
	b.access.TokenURL = b.url + "/token"
	return &lab{b, key, 0}
}

// claims of a good assertion, each with a jti of its own.
func (l *lab) claims() jwt.MapClaims {
	l.n++
	now := l.b.fern.clock.Now()
	return jwt.MapClaims{"iss": "lab", "sub": "lab", "aud": l.b.access.TokenURL, "jti": strings.Repeat("j", l.n),
		"exp": now.Add(4 * time.Minute).Unix(), "iat": now.Unix()}
}

func signed(t testing.TB, method jwt.SigningMethod, key crypto.PrivateKey, claims jwt.MapClaims) string {
	t.Helper()
	token := jwt.NewWithClaims(method, claims)
	token.Header["kid"] = "k1"
	text, err := token.SignedString(key)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// asks for a token as the library does.
func (l *lab) asks(t testing.TB, assertion string, scopes ...string) (*oauth2.Token, *oauth2.RetrieveError) {
	t.Helper()
	c := clientcredentials.Config{ClientID: "lab", TokenURL: l.b.url + "/token", Scopes: scopes, AuthStyle: oauth2.AuthStyleInParams,
		EndpointParams: url.Values{
			"client_assertion_type": {"urn:ietf:params:oauth:client-assertion-type:jwt-bearer"},
			"client_assertion":      {assertion},
		}}
	token, err := c.Token(context.Background())
	var refused *oauth2.RetrieveError
	if err != nil && !errors.As(err, &refused) {
		t.Fatal(err)
	}
	return token, refused
}

// A program finds the endpoint, is given a token within its scopes, and the token is its own
// until it is locked, which it is told at once.
func TestProgramIsGivenAToken(t *testing.T) {
	b := newServer(t, nil)
	l := newLab(t, b)
	got := b.visitor(t).get(t, "/.well-known/smart-configuration")
	var smart access.SmartConfiguration
	if err := json.Unmarshal([]byte(got.body), &smart); err != nil || got.status != http.StatusOK ||
		got.header.Get("Content-Type") != "application/json" || smart.TokenEndpoint != b.url+"/token" {
		t.Fatalf("%d %s %v", got.status, got.body, err)
	}
	good := signed(t, jwt.SigningMethodES384, l.key, l.claims())
	token, refused := l.asks(t, good, "system/*.rs", "system/Patient.r")
	if refused != nil || token.TokenType != "bearer" || token.Extra("scope") != "system/Observation.rs" {
		t.Fatalf("%+v %v", token, refused)
	}
	if left := time.Until(token.Expiry); left > 5*time.Minute || left < 4*time.Minute {
		t.Errorf("good for %s", left)
	}
	who, err := b.access.Bearer(t.Context(), token.AccessToken)
	if err != nil || who.Name != "lab" || !who.May("fern", access.ReadFHIR) || who.May("moss", access.ReadFHIR) {
		t.Errorf("%+v %v", who, err)
	}
	// It is no session of the pages, however it is sent.
	v := b.visitor(t)
	r := v.request(t, http.MethodGet, "/units/fern/ward", nil)
	r.Header.Set("Authorization", "Bearer "+token.AccessToken)
	r.Header.Set("Cookie", "cotline-session="+token.AccessToken)
	if got := v.do(t, r); got.status != http.StatusSeeOther {
		t.Errorf("a page by a token: %d", got.status)
	}
	if _, refused := l.asks(t, good, "system/*.rs"); code(refused) != "invalid_client" {
		t.Errorf("replay: %v", refused)
	}
	if err := b.access.LockProgram(t.Context(), console, from, "lab", true); err != nil {
		t.Fatal(err)
	}
	if _, refused := l.asks(t, signed(t, jwt.SigningMethodES384, l.key, l.claims()), "system/*.rs"); code(refused) != "invalid_client" {
		t.Errorf("locked: %v", refused)
	}
	if _, err := b.access.Bearer(t.Context(), token.AccessToken); !errors.Is(err, access.ErrNoSession) {
		t.Errorf("its token: %v", err)
	}
	if log := b.log.String(); strings.Contains(log, token.AccessToken) || strings.Contains(log, good) {
		t.Error("the log tells a secret")
	}
}

func code(refused *oauth2.RetrieveError) string {
	if refused == nil {
		return "given"
	}
	return refused.ErrorCode
}

// What does not hold is one answer, whatever the reason, and is traced.
func TestTokenIsRefused(t *testing.T) {
	b := newServer(t, nil)
	l := newLab(t, b)
	stranger, err := ecdsa.GenerateKey(elliptic.P384(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	p256, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	but := func(claims map[string]any) jwt.MapClaims {
		c := l.claims()
		maps.Copy(c, claims)
		return c
	}
	now := b.fern.clock.Now()
	for name, text := range map[string]string{
		"for another":       signed(t, jwt.SigningMethodES384, l.key, but(map[string]any{"aud": "https://elsewhere.example/token"})),
		"over":              signed(t, jwt.SigningMethodES384, l.key, but(map[string]any{"exp": now.Add(-time.Minute).Unix()})),
		"for too long":      signed(t, jwt.SigningMethodES384, l.key, but(map[string]any{"exp": now.Add(time.Hour).Unix()})),
		"of another":        signed(t, jwt.SigningMethodES384, l.key, but(map[string]any{"sub": "other"})),
		"by a stranger":     signed(t, jwt.SigningMethodES384, stranger, l.claims()),
		"another algorithm": signed(t, jwt.SigningMethodES256, p256, l.claims()),
		"a shared secret":   signed(t, jwt.SigningMethodHS384, []byte("secret"), l.claims()),
		"no signature":      signed(t, jwt.SigningMethodNone, jwt.UnsafeAllowNoneSignatureType, l.claims()),
		"too long":          signed(t, jwt.SigningMethodES384, l.key, but(map[string]any{"more": strings.Repeat("x", 8<<10)})),
		"none":              "",
	} {
		_, refused := l.asks(t, text, "system/*.rs")
		if code(refused) != "invalid_client" || refused.Response.StatusCode != http.StatusUnauthorized {
			t.Errorf("%s: %v", name, refused)
		}
	}
	r, err := b.access.Trace(t.Context(), console, from, "fern", access.About{Kinds: []access.EventKind{access.TokenRefused}})
	if err != nil || len(r.Events) != 10 {
		t.Errorf("%d traced, %v", len(r.Events), err)
	}
}

// Every answer of the token endpoint is JSON that nobody keeps, whatever was sent.
func TestTokenAnswers(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	newLab(t, b)
	v := b.visitor(t)
	form := url.Values{"grant_type": {"client_credentials"}, "scope": {"system/*.rs"}, "client_assertion": {"x"},
		"client_assertion_type": {"urn:ietf:params:oauth:client-assertion-type:jwt-bearer"}}
	twice := maps.Clone(form)
	twice["scope"] = []string{"system/*.rs", "system/*.rs"}
	large := maps.Clone(form)
	large.Set("client_assertion", strings.Repeat("x", 1<<20))
	other := v.request(t, http.MethodPost, "/token", form)
	other.Header.Set("Content-Type", "application/json")
	inPath := v.request(t, http.MethodPost, "/token?"+form.Encode(), nil)
	for name, c := range map[string]struct {
		r      *http.Request
		status int
		code   string
	}{
		"nothing":        {v.request(t, http.MethodPost, "/token", nil), http.StatusBadRequest, "unsupported_grant_type"},
		"in the address": {inPath, http.StatusBadRequest, "unsupported_grant_type"},
		"twice":          {v.request(t, http.MethodPost, "/token", twice), http.StatusBadRequest, "invalid_request"},
		"large":          {v.request(t, http.MethodPost, "/token", large), http.StatusRequestEntityTooLarge, "invalid_request"},
		"JSON":           {other, http.StatusBadRequest, "invalid_request"},
		"wrong":          {v.request(t, http.MethodPost, "/token", form), http.StatusUnauthorized, "invalid_client"},
	} {
		got := v.do(t, c.r)
		var said struct {
			Error string `json:"error"`
		}
		err := json.Unmarshal([]byte(got.body), &said)
		if err != nil || got.status != c.status || said.Error != c.code || got.header.Get("Content-Type") != "application/json" ||
			got.header.Get("Cache-Control") != "no-store" || got.header.Get("Pragma") != "no-cache" {
			t.Errorf("%s: %d %s %v", name, got.status, got.body, got.header)
		}
	}
	b.access.TokenURL = "" // where the server knows no address of its own, there is none
	for _, r := range []*http.Request{v.request(t, http.MethodPost, "/token", form),
		v.request(t, http.MethodGet, "/.well-known/smart-configuration", nil)} {
		if got := v.do(t, r); got.status != http.StatusNotFound || strings.Contains(got.body, "<html") {
			t.Errorf("%s: %d %s", r.URL.Path, got.status, got.body)
		}
	}
}

// An address that asks too often is told to wait, and what cannot be traced is not given.
func TestTokenLimits(t *testing.T) {
	b := newServer(t, nil)
	l := newLab(t, b)
	b.access.Store = failing{b.store}
	_, refused := l.asks(t, signed(t, jwt.SigningMethodES384, l.key, l.claims()), "system/*.rs")
	if code(refused) != "temporarily_unavailable" || refused.Response.StatusCode != http.StatusServiceUnavailable {
		t.Errorf("%v", refused)
	}
	b.access.Store = b.store
	for range 70 {
		if _, refused = l.asks(t, "x", "system/*.rs"); code(refused) == "slow_down" {
			break
		}
	}
	if code(refused) != "slow_down" || refused.Response.StatusCode != http.StatusTooManyRequests ||
		refused.Response.Header.Get("Retry-After") == "" {
		t.Errorf("%v", refused)
	}
}
