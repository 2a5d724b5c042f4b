package accesstest

import (
	"crypto/rand"
	"crypto/rsa"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"
	"time"

	"github.com/go-jose/go-jose/v4"
	"github.com/go-jose/go-jose/v4/jwt"
)

// providerKey is made once a test binary.
var providerKey = sync.OnceValue(func() *rsa.PrivateKey {
	key, err := rsa.GenerateKey(rand.Reader, 2048)
	if err != nil {
		panic(err)
	}
	return key
})

// Provider is a hospital's sign-in that says what a test tells it to.
type Provider struct {
	*httptest.Server
	Claims    map[string]any // put over those of a good ID token
	Challenge string         // of the code that was sent for last
	Key       any
	Verified  bool // the verifier fitted the challenge
}

// NewProvider is one that gives the code the-code.
func NewProvider(t testing.TB) *Provider {
	t.Helper()
	key := providerKey()
	p := &Provider{Claims: map[string]any{}, Key: key}
	mux := http.NewServeMux()
	mux.HandleFunc("/.well-known/openid-configuration", func(w http.ResponseWriter, _ *http.Request) {
		json.NewEncoder(w).
			Encode(map[string]any{"issuer": p.URL, "authorization_endpoint": p.URL + "/auth", "token_endpoint": p.URL + "/token",
				"jwks_uri": p.URL + "/keys", "id_token_signing_alg_values_supported": []string{"RS256"}})
	})
	mux.HandleFunc("/keys", func(w http.ResponseWriter, _ *http.Request) {
		json.NewEncoder(w).
			Encode(jose.JSONWebKeySet{Keys: []jose.JSONWebKey{{Key: key.Public(), KeyID: "k", Algorithm: "RS256", Use: "sig"}}})
	})
	mux.HandleFunc("/token", func(w http.ResponseWriter, r *http.Request) {
		sum := sha256.Sum256([]byte(r.FormValue("code_verifier")))
		if p.Verified = base64.RawURLEncoding.EncodeToString(sum[:]) == p.Challenge; !p.Verified || r.FormValue("code") != "the-code" {
			w.WriteHeader(http.StatusBadRequest)
			return
		}
		signer, err := jose.NewSigner(jose.SigningKey{Algorithm: jose.RS256, Key: p.Key}, (&jose.SignerOptions{}).WithHeader("kid", "k"))
		if err != nil {
			panic(err)
		}
		id, err := jwt.Signed(signer).Claims(p.Claims).Serialize()
		if err != nil {
			panic(err)
		}
		w.Header().Set("Content-Type", "application/json")
		json.NewEncoder(w).Encode(map[string]any{"access_token": "x", "token_type": "Bearer", "id_token": id})
	})
	p.Server = httptest.NewServer(mux)
	t.Cleanup(p.Close)
	return p
}

// Good is what an ID token says.
func (p *Provider) Good(now time.Time, nonce string) {
	for name, value := range map[string]any{"iss": p.URL, "aud": "cotline", "sub": "4711", "nonce": nonce, "iat": now.Unix(),
		"exp": now.Add(time.Hour).Unix(), "preferred_username": "Maeve@Alder.example", "name": "Maeve B.",
		"groups": []string{"nicu-nurses", "choir"}} {
		if _, has := p.Claims[name]; !has {
			p.Claims[name] = value
		}
	}
}
