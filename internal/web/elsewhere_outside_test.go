//go:build outside

package web

import (
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// A real provider, a real browser and the server's own routes, on two sites, so that cookies
// and the policy on content are held to as a browser does.
func TestSignInElsewhereInABrowser(t *testing.T) {
	b := newServer(t, nil)
	b.fern.clock.set(time.Now()) // the provider has a clock of its own
	base := strings.Replace(b.url, "127.0.0.1", "localhost", 1)
	issuer := accesstest.RealProvider(t, "../access/testdata/provider", base+BackPath)
	b.access.OpenID = &access.OpenID{Issuer: issuer, ClientID: "cotline", Secret: "a secret of the test alone, of forty letters",
		Redirect: base + BackPath, Claim: "groups",
		Roles: map[string][]access.UnitRole{"nicu-nurses": {{Unit: "fern", Role: access.Nurse}}}}
	b.drive(t, "elsewhere.mjs", map[string]any{"base": base, "issuer": issuer, "name": "nurse", "ward": "/units/fern/ward"})
	r, err := b.access.Trace(t.Context(), console, from, "fern", access.About{Who: "maeve", Kinds: []access.EventKind{access.SignIn}})
	if err != nil || len(r.Events) != 2 || r.Events[0].Method != access.ByElsewhere {
		t.Errorf("%+v %v", r.Events, err)
	}
}
