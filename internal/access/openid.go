package access

import (
	"context"
	"crypto/subtle"
	"strings"
	"time"

	"github.com/coreos/go-oidc/v3/oidc"
	"golang.org/x/oauth2"
)

// stateFor is how long a sign-in elsewhere may take.
const stateFor = 10 * time.Minute

// pending is a sign-in elsewhere that has begun, under the hash of its state.
type pending struct {
	Browser  string `json:"browser"` // key of the state cookie's token
	Nonce    string `json:"nonce"`
	Verifier string `json:"verifier"`
}

// SendElsewhere begins a sign-in at the provider: the address to send the browser to, and the
// token of the state cookie that ties the answer to this browser.
func (a *Access) SendElsewhere(ctx context.Context) (address, browser string, err error) {
	a.ready()
	_, config, err := a.provider.at(ctx, a.HTTP, a.OpenID)
	if err != nil {
		return "", "", err
	}
	state, key := newSecret(a.random)
	nonce, _ := newSecret(a.random)
	browser, browserKey := newSecret(a.random)
	p := pending{browserKey, nonce, oauth2.GenerateVerifier()}
	err = a.write(ctx, func(tx Tx) error {
		if err := tx.Sweep(a.Now()); err != nil {
			return err
		}
		return tx.Put(Item{Unit: a.Home, Kind: kindState, Key: key, Until: a.Now().Add(stateFor), Body: encode(p)})
	})
	return config.AuthCodeURL(state, oidc.Nonce(nonce), oauth2.S256ChallengeOption(p.Verifier)), browser, err
}

// BackFromElsewhere ends a sign-in at the provider and makes a session. Browser is the token
// of the state cookie, state and code what the browser came back with. The state is used up
// whatever comes of it.
func (a *Access) BackFromElsewhere(ctx context.Context, from Origin, browser, state, code string) (in SignedIn, err error) {
	a.ready()
	got, config, err := a.provider.at(ctx, a.HTTP, a.OpenID)
	if err != nil {
		return in, err
	}
	p, err := a.takeState(ctx, browser, state)
	if err != nil || p == nil {
		return in, a.elsewhereRefused(ctx, from, err)
	}
	ctx = oidc.ClientContext(ctx, a.HTTP)
	token, err := config.Exchange(ctx, code, oauth2.VerifierOption(p.Verifier))
	if err != nil {
		return in, a.elsewhereRefused(ctx, from, nil)
	}
	raw, _ := token.Extra("id_token").(string)
	id, err := got.Verifier(&oidc.Config{ClientID: a.OpenID.ClientID, Now: a.Now}).Verify(ctx, raw)
	if err != nil || subtle.ConstantTimeCompare([]byte(id.Nonce), []byte(p.Nonce)) != 1 || id.Subject == "" {
		return in, a.elsewhereRefused(ctx, from, nil)
	}
	var said map[string]any
	if id.Claims(&said) != nil {
		return in, a.elsewhereRefused(ctx, from, nil)
	}
	return a.enterFrom(ctx, from, id, said)
}

// takeState uses up a state; nil where it is none of this browser's.
func (a *Access) takeState(ctx context.Context, browser, state string) (p *pending, err error) {
	key, ok := keyOf(state)
	browserKey, ok2 := keyOf(browser)
	if !ok || !ok2 {
		return nil, nil
	}
	err = a.write(ctx, func(tx Tx) error {
		p = nil
		item, found, err := tx.Get(kindState, key)
		if err != nil || !found {
			return err
		}
		if err := tx.Remove(kindState, key); err != nil {
			return err
		}
		var q pending
		if err := decode(item.Body, &q); err != nil {
			return err
		}
		if a.Now().Before(item.Until) && q.Browser == browserKey {
			p = &q
		}
		return nil
	})
	return p, err
}

func (a *Access) elsewhereRefused(ctx context.Context, from Origin, err error) error {
	if err != nil {
		return err
	}
	return a.decide(ctx, func(tx Tx) (refusal, err error) { return a.refuse(tx, nil, from, ByElsewhere, true) })
}

// enterFrom makes the session of whom the provider proved. The identity is issuer and
// subject, never a name, which can come to be another's; a name that is a local account's is
// refused. Roles are those of the claim, each time.
func (a *Access) enterFrom(ctx context.Context, from Origin, id *oidc.IDToken, said map[string]any) (in SignedIn, err error) {
	subject := digest([]byte(id.Issuer + "\x00" + id.Subject))
	name, shown := a.namesOf(said)
	roles := a.rolesOf(said[a.OpenID.Claim])
	err = a.decide(ctx, func(tx Tx) (refusal, err error) {
		p, err := bySubject(tx, subject)
		if err != nil {
			return nil, err
		}
		known := p
		if p == nil {
			had, err := person(tx, name)
			if err != nil {
				return nil, err
			}
			if had != nil {
				return a.refuse(tx, nil, from, ByElsewhere, true)
			}
			p = &account{Person: Person{Name: name, Unit: homeOf(roles, a.Home), Made: a.Now()}, Subject: subject}
		}
		if p.Roles = roles; shown != "" {
			p.Shown = shown
		}
		if p.Locked || len(roles) == 0 || p.fit() != nil {
			return a.refuse(tx, known, from, ByElsewhere, true)
		}
		if err := tx.Put(Item{Unit: p.Unit, Kind: kindSubject, Key: subject, Owner: p.Name, Body: []byte("{}")}); err != nil {
			return nil, err
		}
		if err := tx.Put(p.item()); err != nil {
			return nil, err
		}
		in, err = a.enter(tx, p, from, ByElsewhere)
		return nil, err
	})
	return in, err
}

func bySubject(v View, subject string) (*account, error) {
	item, found, err := v.Get(kindSubject, subject)
	if err != nil || !found {
		return nil, err
	}
	p, err := person(v, item.Owner)
	if err == nil && (p == nil || p.Subject != subject) {
		return nil, ErrDamaged
	}
	return p, err
}

func (a *Access) namesOf(said map[string]any) (name, shown string) {
	name, _ = said["preferred_username"].(string)
	name, _ = cleanName(strings.TrimSuffix(name, a.OpenID.Domain))
	shown, _ = said["name"].(string)
	if shown = strings.TrimSpace(shown); shown == "" {
		shown = name
	}
	return name, shown
}

// rolesOf are the roles that a claim gives: a text, or a list of texts.
func (a *Access) rolesOf(claim any) map[string][]Role {
	var words []string
	switch c := claim.(type) {
	case string:
		words = []string{c}
	case []any:
		for _, one := range c {
			if s, ok := one.(string); ok {
				words = append(words, s)
			}
		}
	}
	out := map[string][]Role{}
	for _, w := range words {
		for _, r := range a.OpenID.Roles[w] {
			out[r.Unit] = append(out[r.Unit], r.Role)
		}
	}
	return out
}

// homeOf is the unit of the roles, where they are of one; else the server's.
func homeOf(roles map[string][]Role, home string) string {
	if len(roles) == 1 {
		for unit := range roles {
			return unit
		}
	}
	return home
}
