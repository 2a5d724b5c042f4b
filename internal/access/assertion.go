package access

import (
	"encoding/json"
	"slices"
	"strings"
	"time"

	"github.com/go-jose/go-jose/v4"
	"github.com/go-jose/go-jose/v4/jwt"
)

const assertionType = "urn:ietf:params:oauth:client-assertion-type:jwt-bearer"

// Limits of an assertion.
const (
	longestAssertion = 8 << 10 // bytes
	longestJTI       = 256
	assertionFor     = 5 * time.Minute  // SMART App Launch: exp no more than five minutes in the future
	skew             = 10 * time.Second // how far two clocks may differ; this project's own choice
)

// claims of an assertion.
type claims struct {
	program string
	jti     string
	expires time.Time
}

// peek reads header and issuer of an assertion that is proven later.
func peek(text string) (h jose.Header, alg jose.SignatureAlgorithm, issuer string, ok bool) {
	if len(text) > longestAssertion || strings.Count(text, ".") != 2 {
		return h, "", "", false
	}
	token, err := jwt.ParseSigned(text, algorithms)
	if err != nil || len(token.Headers) != 1 {
		return h, "", "", false
	}
	h = token.Headers[0]
	alg = jose.SignatureAlgorithm(h.Algorithm)
	var c jwt.Claims
	if h.KeyID == "" || !slices.Contains(algorithms, alg) || token.UnsafeClaimsWithoutVerification(&c) != nil {
		return h, "", "", false
	}
	if typ, has := h.ExtraHeaders[jose.HeaderType]; has && typ != "JWT" {
		return h, "", "", false
	}
	return h, alg, c.Issuer, clientForm.MatchString(c.Issuer)
}

// verified are the claims of an assertion that holds: signed with the key, for this token
// endpoint, iss and sub the same, a jti, and an exp from now to five minutes from now, and
// from iat, where there is one.
func verified(text string, key any, endpoint string, now time.Time) (c claims, ok bool) {
	token, err := jwt.ParseSigned(text, algorithms)
	if err != nil {
		return c, false
	}
	var raw json.RawMessage
	var got jwt.Claims
	if token.Claims(key, &got, &raw) != nil {
		return c, false
	}
	if got.Issuer == "" || got.Issuer != got.Subject || !slices.Contains(got.Audience, endpoint) || endpoint == "" {
		return c, false
	}
	if got.ID == "" || len(got.ID) > longestJTI || got.Expiry == nil {
		return c, false
	}
	expires := got.Expiry.Time()
	if !now.Before(expires.Add(skew)) || expires.After(now.Add(assertionFor+skew)) {
		return c, false
	}
	if got.NotBefore != nil && now.Add(skew).Before(got.NotBefore.Time()) {
		return c, false
	}
	if got.IssuedAt != nil {
		issued := got.IssuedAt.Time()
		if issued.After(now.Add(skew)) || expires.Sub(issued) > assertionFor {
			return c, false
		}
	}
	return claims{got.Issuer, got.ID, expires}, true
}
