package access

import (
	"context"
	"net/http"
	"net/url"
	"strings"
	"time"
)

// TokenAnswer is the answer of the token endpoint (RFC 6749, section 5.1).
type TokenAnswer struct {
	AccessToken string `json:"access_token"`
	TokenType   string `json:"token_type"` // bearer
	ExpiresIn   int    `json:"expires_in"` // s
	Scope       string `json:"scope"`
}

// TokenError is a refusal of the token endpoint (RFC 6749, section 5.2): a code for the
// program, and the status of HTTP.
type TokenError struct {
	Code   string `json:"error"`
	Says   string `json:"error_description,omitempty"`
	Status int    `json:"-"`
}

func (e *TokenError) Error() string { return e.Code }

func badRequest(code, says string) *TokenError { return &TokenError{code, says, http.StatusBadRequest} }

// invalidClient is the one answer to an assertion that does not hold, whatever the reason.
func invalidClient() *TokenError {
	return &TokenError{"invalid_client", "", http.StatusUnauthorized}
}

// granted is a token as it is kept, under its hash.
type granted struct {
	Program string    `json:"program"`
	Scopes  string    `json:"scopes"`
	Until   time.Time `json:"until"`
}

// Token is the token endpoint of SMART Backend Services: it takes the fields of the form and
// gives an opaque token, or *TokenError. Each assertion is good once.
func (a *Access) Token(ctx context.Context, from Origin, form url.Values) (answer TokenAnswer, err error) {
	a.ready()
	asked, err := askedScopes(form)
	if err != nil {
		return answer, err
	}
	if wait := a.guesses.takeAddress(from); wait > 0 {
		return answer, &TokenError{"slow_down", "too many requests", http.StatusTooManyRequests}
	}
	c, p, err := a.assertion(ctx, form.Get("client_assertion"))
	if err != nil {
		return answer, a.tokenRefused(ctx, from, p, "assertion", err)
	}
	if id := form.Get("client_id"); id != "" && id != p.ID {
		return answer, a.tokenRefused(ctx, from, p, "client_id", invalidClient())
	}
	given, err := ParseScopes(p.Scopes)
	if err != nil {
		return answer, ErrDamaged
	}
	scopes := asked.within(given)
	if len(scopes) == 0 {
		return answer, a.tokenRefused(ctx, from, p, "scope", badRequest("invalid_scope", "none of these is this program's"))
	}
	replayed := false
	err = a.write(ctx, func(tx Tx) error {
		q, err := a.unused(tx, c, p)
		if err != nil {
			return err
		}
		if replayed = q == nil; replayed {
			return nil
		}
		token, key := newSecret(a.random)
		until := a.Now().Add(a.Limits.Token)
		item := Item{Unit: q.Units[0], Kind: kindToken, Key: key, Owner: q.ID, Until: until,
			Body: encode(granted{q.ID, scopes.String(), until})}
		if err := tx.Put(item); err != nil {
			return err
		}
		answer = TokenAnswer{token, "bearer", int(a.Limits.Token / time.Second), scopes.String()}
		return a.note(tx, Event{Unit: q.Units[0], Kind: TokenGiven, What: scopes.String()}, programWho(q, scopes, key, until), from)
	})
	if err == nil && replayed {
		return TokenAnswer{}, a.tokenRefused(ctx, from, p, "replay", invalidClient())
	}
	if err != nil {
		return TokenAnswer{}, err
	}
	return answer, nil
}

// askedScopes are the scopes that a form asks for; *TokenError where it is no request for
// a token by an assertion.
func askedScopes(form url.Values) (Scopes, error) {
	for _, field := range []string{"grant_type", "client_assertion_type", "client_assertion", "scope"} {
		if len(form[field]) > 1 {
			return nil, badRequest("invalid_request", field+" stands twice") // RFC 6749, section 3.2
		}
	}
	switch {
	case form.Get("grant_type") != "client_credentials":
		return nil, badRequest("unsupported_grant_type", "client_credentials is wanted")
	case form.Get("client_assertion_type") != assertionType:
		return nil, badRequest("invalid_request", "client_assertion_type: "+assertionType+" is wanted")
	}
	asked, err := ParseScopes(form.Get("scope"))
	if err != nil {
		return nil, badRequest("invalid_scope", err.Error())
	}
	return asked, nil
}

// unused is the program that an assertion proves, as it stands now, and uses the assertion
// up; nil where that was used before, or the program is locked or gone.
func (a *Access) unused(tx Tx, c claims, p *Program) (*Program, error) {
	if err := tx.Sweep(a.Now()); err != nil {
		return nil, err
	}
	now, err := program(tx, p.ID)
	if err != nil {
		return nil, err
	}
	used := digest([]byte(p.ID + "\x00" + c.jti))
	_, found, err := tx.Get(kindJTI, used)
	if err != nil || found || now == nil || now.Locked {
		return nil, err
	}
	kept := Item{Unit: now.Units[0], Kind: kindJTI, Key: used, Owner: now.ID, Until: c.expires.Add(skew + time.Second), Body: []byte("{}")}
	return now, tx.Put(kept)
}

// tokenRefused traces a refusal, under the program where one was named.
func (a *Access) tokenRefused(ctx context.Context, from Origin, p *Program, what string, refusal error) error {
	e := Event{Unit: a.Home, Kind: TokenRefused, What: what}
	if p != nil {
		e.Unit, e.Whom = p.Units[0], p.ID
	}
	if err := a.Note(ctx, nil, from, e); err != nil {
		return err
	}
	return refusal
}

// assertion proves a program by its signed assertion. The program is told too where it was
// named and not proven.
func (a *Access) assertion(ctx context.Context, text string) (c claims, p *Program, err error) {
	kid, alg, named, ok := peek(text)
	if !ok {
		return c, nil, invalidClient()
	}
	if err := a.read(ctx, func(v View) error { p, err = program(v, named); return err }); err != nil {
		return c, nil, err
	}
	if p == nil || p.Locked {
		return c, nil, invalidClient()
	}
	key, err := a.keys.of(ctx, a.HTTP, a.Now(), p, kid.KeyID, alg)
	if err != nil {
		return c, p, invalidClient()
	}
	if jku, has := kid.ExtraHeaders["jku"]; has && (p.KeyURL == "" || jku != p.KeyURL) {
		return c, p, invalidClient()
	}
	c, ok = verified(text, key, a.TokenURL, a.Now())
	if !ok || c.program != p.ID {
		return c, p, invalidClient()
	}
	return c, p, nil
}

// Bearer is the program that has a token; ErrNoSession when it is of none that holds.
func (a *Access) Bearer(ctx context.Context, token string) (who *Who, err error) {
	key, ok := keyOf(token)
	if !ok {
		return nil, ErrNoSession
	}
	err = a.read(ctx, func(v View) error {
		who = nil
		item, found, err := v.Get(kindToken, key)
		if err != nil || !found {
			return firstOf(err, ErrNoSession)
		}
		var g granted
		if err := decode(item.Body, &g); err != nil {
			return err
		}
		p, err := program(v, g.Program)
		if err != nil {
			return err
		}
		if p == nil || p.Locked || !a.Now().Before(g.Until) {
			return ErrNoSession
		}
		scopes, err := ParseScopes(g.Scopes)
		if err != nil {
			return ErrDamaged
		}
		who = programWho(p, scopes, key, g.Until)
		return nil
	})
	return who, err
}

func programWho(p *Program, scopes Scopes, key string, until time.Time) *Who {
	roles := map[string][]Role{}
	for _, unit := range p.Units {
		roles[unit] = []Role{Integrator}
	}
	return &Who{Kind: AProgram, Name: p.ID, Shown: p.Shown, Unit: p.Units[0], Roles: roles, Scopes: scopes, Method: ByAssertion,
		Session: idOf(key), Until: until}
}

// BearerToken is the token of an Authorization header (RFC 6750), empty where there is none.
func BearerToken(h http.Header) string {
	all := h.Values("Authorization")
	if len(all) != 1 {
		return ""
	}
	scheme, token, _ := strings.Cut(all[0], " ")
	if !strings.EqualFold(scheme, "Bearer") {
		return ""
	}
	return token
}
