package access

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"sync"
	"time"

	"github.com/coreos/go-oidc/v3/oidc"
	"golang.org/x/oauth2"
)

// OpenID is the hospital's provider of sign-in (OpenID Connect, code flow with PKCE).
type OpenID struct {
	Issuer   string // exactly as the provider names itself
	ClientID string
	Secret   string // empty: a public client
	Redirect string // this server's address for the answer
	Claim    string // of the ID token, a text or a list of texts, that gives roles
	Roles    map[string][]UnitRole
	Name     string // claim of the name by which she charts; empty: preferred_username
	Domain   string // what follows the name there, as @alder.example; may be empty
}

func (o *OpenID) nameClaim() string { return cmp.Or(o.Name, "preferred_username") }

// UnitRole is a role in a unit.
type UnitRole struct {
	Unit string
	Role Role
}

// ErrProvider is a provider that cannot be reached or does not say what it must.
var ErrProvider = errors.New("the hospital's sign-in does not answer as it must")

// provider is what was read of the provider, once.
type provider struct {
	mu     sync.Mutex
	got    *oidc.Provider
	failed time.Time
}

// askAgain is how soon a provider that did not answer is asked again, so that people who wait
// for it do not wait one after the other.
const askAgain = 5 * time.Second

// at is the provider, asked for what it is the first time.
func (p *provider) at(ctx context.Context, client *http.Client, now func() time.Time, o *OpenID) (*oidc.Provider, *oauth2.Config, error) {
	if o == nil {
		return nil, nil, ErrProvider
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.got == nil && !p.failed.IsZero() && now().Sub(p.failed).Abs() < askAgain {
		return nil, nil, ErrProvider
	}
	if p.got == nil {
		// Its keys are read later too, so it outlives the request.
		got, err := oidc.NewProvider(oidc.ClientContext(context.WithoutCancel(ctx), client), o.Issuer)
		if err != nil {
			p.failed = now() // after what may have been a long wait
			return nil, nil, ErrProvider
		}
		p.got = got
	}
	return p.got, &oauth2.Config{
		ClientID: o.ClientID, ClientSecret: o.Secret, RedirectURL: o.Redirect,
		Endpoint: p.got.Endpoint(), Scopes: []string{oidc.ScopeOpenID, "profile"},
	}, nil
}
