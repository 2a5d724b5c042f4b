package access

import (
	"context"
	"crypto/subtle"
	"strings"
	"time"

	"github.com/coreos/go-oidc/v3/oidc"
	"golang.org/x/oauth2"
)

// pending is a sign-in elsewhere that has begun, under the hash of its state.
type pending struct {
	Browser  string `json:"browser"` // key of the state cookie's token
	Nonce    string `json:"nonce"`
	Verifier string `json:"verifier"`
	Next     string `json:"next,omitempty"`

	Begun time.Time `json:"begun"`
}

// longestNext is of what a sign-in elsewhere goes on to, in bytes; a longer one is forgotten.
const longestNext = 1024

// SendElsewhere begins a sign-in at the provider: the address to send the browser to, and the
// token of the state cookie that ties the answer to this browser. Next is given back at its end.
func (a *Access) SendElsewhere(ctx context.Context, next string) (address, browser string, err error) {
	a.ready()
	_, config, err := a.provider.at(ctx, a.HTTP, a.Now, a.OpenID)
	if err != nil {
		return "", "", err
	}
	state, key := newSecret(a.random)
	nonce, _ := newSecret(a.random)
	browser, browserKey := newSecret(a.random)
	if len(next) > longestNext {
		next = ""
	}
	p := pending{browserKey, nonce, oauth2.GenerateVerifier(), next, a.Now()}
	err = a.write(ctx, func(tx Tx) error {
		if err := tx.Sweep(a.Now()); err != nil {
			return err
		}
		return tx.Put(Item{Unit: a.Home, Kind: kindState, Key: key, Until: a.Now().Add(stateFor), Body: encode(p)})
	})
	return config.AuthCodeURL(state, oidc.Nonce(nonce), oauth2.S256ChallengeOption(p.Verifier), askAnew, askNow), browser, err
}

// A tablet is shared: who is signed in at the provider since before may be somebody else, so
// it is told to ask anew (OpenID Connect Core, section 3.1.2.1), and where it tells when it
// asked, that is looked at.
var (
	askAnew = oauth2.SetAuthURLParam("prompt", "login")
	askNow  = oauth2.SetAuthURLParam("max_age", "0")
)

// asked says whether a provider asked who somebody is after the sign-in began; one that does
// not tell is taken at its word.
func asked(said map[string]any, begun time.Time) bool {
	at, told := said["auth_time"].(float64)
	return !told || !time.Unix(int64(at), 0).Before(begun.Add(-skew).Truncate(time.Second))
}

// BackFromElsewhere ends a sign-in at the provider and makes a session. Browser is the token
// of the state cookie, state and code what the browser came back with; next is what was given
// to SendElsewhere. The state is used up whatever comes of it. Who was proven there and may not
// come in is refused by *Proven, which says why; any other refusal is ErrRefused.
func (a *Access) BackFromElsewhere(ctx context.Context, from Origin, browser, state, code string) (in SignedIn, next string, err error) {
	a.ready()
	got, config, err := a.provider.at(ctx, a.HTTP, a.Now, a.OpenID)
	if err != nil {
		return in, "", err
	}
	p, err := a.takeState(ctx, browser, state)
	if err != nil || p == nil || code == "" {
		return in, "", a.elsewhereRefused(ctx, from, err)
	}
	ctx = oidc.ClientContext(ctx, a.HTTP)
	token, err := config.Exchange(ctx, code, oauth2.VerifierOption(p.Verifier))
	if err != nil {
		return in, "", a.elsewhereRefused(ctx, from, nil)
	}
	raw, _ := token.Extra("id_token").(string)
	id, err := got.Verifier(&oidc.Config{ClientID: a.OpenID.ClientID, Now: a.Now}).Verify(ctx, raw)
	if err != nil || subtle.ConstantTimeCompare([]byte(id.Nonce), []byte(p.Nonce)) != 1 || id.Subject == "" {
		return in, "", a.elsewhereRefused(ctx, from, nil)
	}
	var said map[string]any
	if id.Claims(&said) != nil {
		return in, "", a.elsewhereRefused(ctx, from, nil)
	}
	in, err = a.enterFrom(ctx, from, id, said, asked(said, p.Begun))
	return in, p.Next, err
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
func (a *Access) enterFrom(ctx context.Context, from Origin, id *oidc.IDToken, said map[string]any, asked bool) (in SignedIn, err error) {
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
			p = &account{Person: Person{Name: name, Unit: homeOf(roles, a.Home), Made: a.Now()}, Subject: subject}
		}
		if p.Roles = roles; shown != "" {
			p.Shown = shown
		}
		why, err := a.keepsOut(tx, p, known == nil)
		if err == nil && why == HasNoRole && known != nil {
			err = tx.Put(p.item()) // what she is signed in on elsewhere has none either from now on
		}
		if !asked { // whoever is there may be another, who is told nothing of her
			why = NotAsked
		}
		if err != nil || why != "" {
			return a.refuseProven(tx, known, from, why, err)
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

// keepsOut is why somebody whom the provider proved may not come in; empty: nothing.
func (a *Access) keepsOut(v View, p *account, fresh bool) (why Why, err error) {
	switch {
	case p.Locked:
		return IsLocked, nil
	case len(p.Roles) == 0:
		return HasNoRole, nil
	case p.fit() != nil:
		return HasNoName, nil
	case fresh:
		had, err := person(v, p.Name)
		if had != nil {
			why = NameIsTaken
		}
		return why, err
	}
	return "", nil
}

func (a *Access) refuseProven(tx Tx, known *account, from Origin, why Why, err error) (refusal, _ error) {
	if err != nil {
		return nil, err
	}
	e := Event{Unit: a.Home, Kind: SignInRefused, What: string(ByElsewhere), Detail: string(why)}
	if known != nil {
		e.Unit, e.Whom = known.Unit, known.Name
	}
	return &Proven{why}, a.note(tx, e, nil, from)
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
	name, _ = said[a.OpenID.nameClaim()].(string)
	if at := len(name) - len(a.OpenID.Domain); at >= 0 && strings.EqualFold(name[at:], a.OpenID.Domain) {
		name = name[:at]
	}
	name, _ = cleanName(name)
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
