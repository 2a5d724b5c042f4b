//go:build outside

package access_test

import (
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"regexp"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

var action = regexp.MustCompile(`action="([^"]+)"`)

// browse goes to an address as a browser does, signs in where it is asked for, consents, and
// gives the address of ours that it is sent back to.
func browse(t *testing.T, address string) *url.URL {
	t.Helper()
	jar, err := cookiejar.New(nil)
	fits(t, "jar", err)
	var back *url.URL
	client := &http.Client{Jar: jar, Timeout: 10 * time.Second, CheckRedirect: func(r *http.Request, _ []*http.Request) error {
		if r.URL.Host == "cotline.example" {
			back = r.URL
			return http.ErrUseLastResponse
		}
		return nil
	}}
	res, err := client.Get(address)
	for _, form := range []url.Values{{"prompt": {"login"}, "login": {"4711"}, "password": {"x"}}, {"prompt": {"consent"}}} {
		if back != nil {
			break
		}
		fits(t, "page", err)
		page, err2 := io.ReadAll(res.Body)
		fits(t, "page", err2)
		m := action.FindSubmatch(page)
		if m == nil {
			t.Fatalf("no form: %s\n%s", res.Status, page)
		}
		to, err3 := res.Request.URL.Parse(string(m[1]))
		fits(t, "form", err3)
		res, err = client.PostForm(to.String(), form)
	}
	fits(t, "last page", err)
	if back == nil {
		t.Fatalf("not sent back: %s", res.Status)
	}
	return back
}

// The whole way with a provider that is not ours: discovery, the code with PKCE, keys, nonce,
// and roles from a claim.
func TestSignInAtARealProvider(t *testing.T) {
	a, _, clock := accesstest.New(home)
	clock.At = time.Now() // the provider has a clock of its own
	const redirect = "https://cotline.example/back"
	a.OpenID = &access.OpenID{Issuer: accesstest.RealProvider(t, "testdata/provider", redirect), ClientID: "cotline",
		Secret: "a secret of the test alone, of forty letters", Redirect: redirect, Claim: "groups",
		Roles: map[string][]access.UnitRole{"nicu-nurses": {{Unit: home, Role: access.Nurse}}}}
	address, browser, err := a.SendElsewhere(ctx, "/units/fern/ward")
	fits(t, "send", err)
	back := browse(t, address).Query()
	in, _, err := a.BackFromElsewhere(ctx, access.Origin{Address: "a"}, browser, back.Get("state"), back.Get("code"))
	fits(t, "back", err)
	if who := session(t, a, in.Token); who.Name != "maeve" || who.Shown != "Maeve B." || !who.May(home, access.Chart) {
		t.Errorf("%+v", who)
	}
	_, _, err = a.BackFromElsewhere(ctx, access.Origin{Address: "a"}, browser, back.Get("state"), back.Get("code"))
	is(t, "the same answer again", err, access.ErrRefused)

	// A code that was taken from another browser's answer is worth nothing in ours.
	address, _, err = a.SendElsewhere(ctx, "/units/fern/ward")
	fits(t, "send", err)
	back = browse(t, address).Query()
	_, ours, err := a.SendElsewhere(ctx, "/units/fern/ward")
	fits(t, "send", err)
	_, _, err = a.BackFromElsewhere(ctx, access.Origin{Address: "a"}, ours, back.Get("state"), back.Get("code"))
	is(t, "another browser's", err, access.ErrRefused)
}
