package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// withProvider is a server whose people sign in at a hospital's provider.
func withProvider(t testing.TB) (*bench, *accesstest.Provider) {
	t.Helper()
	b := newServer(t, nil)
	p := accesstest.NewProvider(t)
	b.access.OpenID = &access.OpenID{Issuer: p.URL, ClientID: "cotline", Secret: "s", Redirect: b.url + BackPath, Claim: "groups",
		Domain: "@alder.example", Roles: map[string][]access.UnitRole{"nicu-nurses": {{Unit: "fern", Role: access.Nurse}}}}
	return b, p
}

// onTo is where a page goes on to by itself.
func onTo(t testing.TB, got result) *url.URL {
	t.Helper()
	to, ok := strings.CutPrefix(got.header.Get("Refresh"), "0; url=")
	u, err := url.Parse(to)
	if got.status != http.StatusOK || !ok || err != nil || !strings.Contains(got.body, `class="go" href=`) {
		t.Fatalf("%d to %q %v: %s", got.status, to, err, got.body)
	}
	return u
}

// sent goes to the provider, and gives what it was told.
func (v *visitor) sent(t testing.TB, p *accesstest.Provider, next string) url.Values {
	t.Helper()
	to := onTo(t, v.post(t, "/sign-in/elsewhere", url.Values{"next": {next}}))
	q := to.Query()
	p.Challenge = q.Get("code_challenge")
	p.Good(v.b.fern.clock.Now(), q.Get("nonce"))
	if to.Host != strings.TrimPrefix(p.URL, "http://") || q.Get("prompt") != "login" || q.Get("max_age") != "0" {
		t.Errorf("sent to %s", to)
	}
	return q
}

// back comes back with what the provider says.
func (v *visitor) back(t testing.TB, said url.Values) result {
	t.Helper()
	in := onTo(t, v.get(t, BackPath+"?"+said.Encode()))
	if in.Path != BackPath+"/in" || in.Host != "" {
		t.Fatalf("on to %s", in)
	}
	return v.get(t, in.RequestURI())
}

// The whole way through the server's own pages: the button, the provider, back, in, and on to
// the page that was asked for first. It is traced, and cannot be gone twice.
func TestSignInElsewhere(t *testing.T) {
	t.Parallel()
	b, p := withProvider(t)
	v := b.visitor(t)
	if page := v.get(t, "/sign-in").body; !strings.Contains(page, `action="/sign-in/elsewhere"`) {
		t.Errorf("no button:\n%s", page)
	}
	q := v.sent(t, p, "/units/fern/ward?order=urgency")
	said := url.Values{"state": {q.Get("state")}, "code": {"the-code"}}
	got := v.back(t, said)
	if to := got.header.Get("Location"); got.status != http.StatusSeeOther || to != "/units/fern/ward?order=urgency" {
		t.Fatalf("%d to %q: %s", got.status, to, got.body)
	}
	if got := v.get(t, "/units/fern/ward"); got.status != http.StatusOK || !strings.Contains(got.body, "Maeve B.") {
		t.Errorf("%d", got.status)
	}
	page := v.get(t, "/account").body
	if strings.Contains(page, `name="before"`) || !strings.Contains(page, "at the hospital&#39;s sign-in") {
		t.Errorf("she has no password here:\n%s", page)
	}
	r, err := b.access.Trace(t.Context(), console, from, "fern", access.About{Who: "maeve", Kinds: []access.EventKind{access.SignIn}})
	if err != nil || len(r.Events) != 1 || r.Events[0].Method != access.ByElsewhere {
		t.Errorf("%+v %v", r.Events, err)
	}
	if got := v.back(t, said); got.status != http.StatusForbidden || !strings.Contains(got.body, "Begin again.") {
		t.Errorf("the same answer again: %d %s", got.status, got.body)
	}
}

// Who is on a shared tablet keeps its device, and those of others with a PIN there; her own PIN
// she sets just after she was proven.
func TestElsewhereOnASharedTablet(t *testing.T) {
	t.Parallel()
	b, p := withProvider(t)
	v := b.as(t, "nurse")
	if got := v.post(t, "/account/pin", url.Values{"password": {accesstest.Password}, "pin": {"280413"}}); got.status != http.StatusOK {
		t.Fatalf("%d %s", got.status, got.body)
	}
	v.post(t, "/sign-out", nil)
	q := v.sent(t, p, "/")
	if got := v.back(t, url.Values{"state": {q.Get("state")}, "code": {"the-code"}}); got.status != http.StatusSeeOther {
		t.Fatalf("%d %s", got.status, got.body)
	}
	set := func() result { return v.post(t, "/account/pin", url.Values{"pin": {"730194"}}) }
	if got := set(); got.status != http.StatusOK || !strings.Contains(got.body, "Your PIN is set") {
		t.Errorf("%d %s", got.status, got.body)
	}
	b.fern.clock.set(b.fern.clock.Now().Add(11 * time.Minute))
	if got := set(); got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "once more") {
		t.Errorf("later: %d %s", got.status, got.body)
	}
	v.post(t, "/sign-out", nil)
	page := v.get(t, "/sign-in").body
	for _, name := range []string{"nurse", "maeve"} {
		if !strings.Contains(page, `name="name" value="`+name+`"`) {
			t.Errorf("%s cannot change over:\n%s", name, page)
		}
	}
	if got := v.post(t, "/sign-in/pin", url.Values{"name": {"maeve"}, "pin": {"730194"}}); got.status != http.StatusSeeOther {
		t.Errorf("%d", got.status)
	}
}

// Each refusal says in plain words what to do, lets nobody in, and takes the state's cookie
// away.
func TestElsewhereRefuses(t *testing.T) {
	t.Parallel()
	for name, c := range map[string]struct {
		change func(*testing.T, *bench, *accesstest.Provider, url.Values)
		status int
		says   string
	}{
		"no role": {func(_ *testing.T, _ *bench, p *accesstest.Provider, _ url.Values) { p.Claims["groups"] = "choir" },
			http.StatusForbidden, "given you no role here"},
		"no name that charts": {func(_ *testing.T, _ *bench, p *accesstest.Provider, _ url.Values) {
			p.Claims["preferred_username"] = "maeve@elsewhere.example"
		}, http.StatusForbidden, "under no name by which you could chart"},
		"another's name": {func(_ *testing.T, _ *bench, p *accesstest.Provider, _ url.Values) {
			p.Claims["preferred_username"] = "keeper"
		}, http.StatusForbidden, "somebody else has an account here under your name"},
		"not asked": {func(_ *testing.T, b *bench, p *accesstest.Provider, _ url.Values) {
			p.Claims["auth_time"] = b.fern.clock.Now().Add(-time.Minute).Unix()
		}, http.StatusForbidden, "did not ask who you are"},
		"asked just now": {func(_ *testing.T, b *bench, p *accesstest.Provider, _ url.Values) {
			p.Claims["auth_time"] = b.fern.clock.Now().Unix()
		}, http.StatusSeeOther, ""},
		"refused there": {func(_ *testing.T, _ *bench, _ *accesstest.Provider, q url.Values) {
			q.Del("code")
			q.Set("error", "access_denied")
			q.Set("error_description", "Feldspar")
		}, http.StatusForbidden, "did not let you in"},
		"another state": {func(_ *testing.T, _ *bench, _ *accesstest.Provider, q url.Values) {
			q.Set("state", accesstest.Token(7))
		},
			http.StatusForbidden, "did not let you in"},
		"another code": {func(_ *testing.T, _ *bench, _ *accesstest.Provider, q url.Values) { q.Set("code", "x") },
			http.StatusForbidden, "did not let you in"},
	} {
		t.Run(name, func(t *testing.T) {
			b, p := withProvider(t)
			v := b.visitor(t)
			q := v.sent(t, p, "/")
			said := url.Values{"state": {q.Get("state")}, "code": {"the-code"}}
			c.change(t, b, p, said)
			p.Good(b.fern.clock.Now(), q.Get("nonce"))
			got := v.back(t, said)
			if got.status != c.status || !strings.Contains(got.body, c.says) || strings.Contains(got.body, "Feldspar") {
				t.Errorf("%d %s", got.status, got.body)
			}
			if in := b.session(t, v) != ""; in != (c.status == http.StatusSeeOther) {
				t.Errorf("signed in: %v", in)
			}
			const gone = "cotline-openid=; Path=/; Max-Age=0; HttpOnly; SameSite=Lax"
			if set := strings.Join(got.header["Set-Cookie"], "\n"); !strings.Contains(set, gone) {
				t.Errorf("the state stays: %s", set)
			}
		})
	}
}

// Another browser's answer is worth nothing in this one, and none of another site begins a
// sign-in.
func TestElsewhereIsTiedToTheBrowser(t *testing.T) {
	b, p := withProvider(t)
	theirs, ours := b.visitor(t), b.visitor(t)
	q := theirs.sent(t, p, "/")
	ours.post(t, "/sign-in/elsewhere", nil)
	if got := ours.back(t, url.Values{"state": {q.Get("state")}, "code": {"the-code"}}); got.status != http.StatusForbidden {
		t.Errorf("%d", got.status)
	}
	r := ours.request(t, http.MethodPost, "/sign-in/elsewhere", nil)
	r.Header.Set("Sec-Fetch-Site", "cross-site")
	if got := ours.do(t, r); got.status != http.StatusForbidden {
		t.Errorf("from another site: %d", got.status)
	}
}

// Where there is no provider there is no button and no page; one that is down leaves the other
// ways in.
func TestProviderIsDown(t *testing.T) {
	b := newServer(t, nil)
	v := b.visitor(t)
	if page := v.get(t, "/sign-in").body; strings.Contains(page, "hospital") {
		t.Error("a button to nowhere")
	}
	for _, path := range []string{BackPath, BackPath + "/in"} {
		if got := v.get(t, path); got.status != http.StatusNotFound {
			t.Errorf("%s: %d", path, got.status)
		}
	}
	if got := v.post(t, "/sign-in/elsewhere", nil); got.status != http.StatusNotFound {
		t.Errorf("%d", got.status)
	}
	b.access.OpenID = &access.OpenID{Issuer: "http://127.0.0.1:1", ClientID: "cotline"}
	got := v.post(t, "/sign-in/elsewhere", nil)
	if got.status != http.StatusBadGateway || !strings.Contains(got.body, "does not answer") ||
		!strings.Contains(got.body, `name="password"`) {
		t.Errorf("%d %s", got.status, got.body)
	}
}
