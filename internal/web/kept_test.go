package web

import (
	"encoding/json"
	"net/http"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
)

func (v *visitor) kept(t testing.TB) (k keeping) {
	t.Helper()
	got := v.get(t, "/units/fern/kept")
	if got.status != http.StatusOK {
		t.Fatal(got.status, got.body)
	}
	if err := json.Unmarshal([]byte(got.body), &k); err != nil {
		t.Fatal(err)
	}
	return k
}

// What a device keeps is of the own infants alone, in short, and says on each page that it
// is offline and as of when; it is traced, and lasts as long as the session.
func TestKept(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	f, alike := b.two(t)[0], b.infant(t, true)
	nurse := b.as(t, "nurse")
	if k := nurse.kept(t); len(k.Pages) != 1 || !strings.Contains(k.Pages[k.Home], "no infant was yours") {
		t.Errorf("of nobody's: %d pages", len(k.Pages))
	}
	if k := b.as(t, "charge").kept(t); k.User != "charge" {
		t.Errorf("charge gets what is of %s", k.User)
	}
	for _, own := range []string{f.Infant, alike.Infant} {
		x, _, summary, _ := look(t, b.fern.live()).Infant(own)
		if x == nil {
			t.Fatal(own)
		}
		path, posted := nurse.open(t, summary, "round")
		mustGoOn(t, nurse.post(t, path, with(posted, "observations.spo2Percent", "92")))
	}
	k := nurse.kept(t)
	if want := 1 + 2*(1+len(rounds())+len(keptKinds)); len(k.Pages) != want {
		t.Errorf("%d pages, not %d", len(k.Pages), want)
	}
	for path, text := range k.Pages {
		for _, must := range []string{"OFFLINE since " + sinceMark, "compiled at 07:", `data-offline="kept"`, "Local policy"} {
			if !strings.Contains(text, must) {
				t.Errorf("%s lacks %q", path, must)
			}
		}
		for _, other := range look(t, b.fern.live()).Ward().Infants {
			own := other.Infant == f.Infant || other.Infant == alike.Infant
			if !own && strings.Contains(text, `href="`+infantPath("fern", other.Infant)+`"`) {
				t.Errorf("%s leads to %s", path, other.Infant)
			}
		}
	}
	form := k.Pages[chartPath("fern", alike.Infant)+"/round"]
	if strings.Contains(form, numberOf(alike)) || !strings.Contains(form, `name="digits"`) ||
		!strings.Contains(form, `value="`+tokenMark+`"`) {
		t.Error("the form of a look-alike does not ask which one it is, or tells it")
	}
	if strings.Contains(k.Pages[chartPath("fern", f.Infant)+"/round"], `name="digits"`) {
		t.Error("of one who has no look-alike it is asked")
	}
	if !k.Until.Equal(b.fern.clock.Now().Add(access.DefaultLimits.Absolute)) || !k.Now.Equal(b.fern.clock.Now()) || k.User != "nurse" {
		t.Errorf("until %s, now %s, of %s", k.Until, k.Now, k.User)
	}
	about := access.About{Infant: f.Infant, Kinds: []access.EventKind{access.Read}}
	r, err := b.access.Trace(t.Context(), console, from, "fern", about)
	traced := func(e access.Event) bool { return e.What == "kept on the device" && e.Who == "nurse" }
	if err != nil || !slices.ContainsFunc(r.Events, traced) {
		t.Errorf("not traced: %v, %v", r.Events, err)
	}
}

// A device that asks by itself keeps no session open.
func TestKeepingIsNoUse(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	nurse := b.as(t, "nurse")
	ask := func() int {
		r := nurse.request(t, http.MethodGet, "/units/fern/kept", nil)
		r.Header.Set("X-Refresh", "1")
		return nurse.do(t, r).status
	}
	if got := nurse.get(t, "/units/fern/ward"); got.status != http.StatusOK {
		t.Fatal(got.status)
	}
	for range 3 {
		b.fern.clock.set(b.fern.clock.Now().Add(9 * time.Minute))
		if got := ask(); got != http.StatusOK {
			t.Fatal(got)
		}
	}
	b.fern.clock.set(b.fern.clock.Now().Add(9 * time.Minute))
	if got := ask(); got != http.StatusUnauthorized {
		t.Errorf("after 36 minutes without a touch: %d", got)
	}
}

// The manifest, the worker and the page of the device are the same for everybody, with what
// a browser wants to install them, within the policy on content that every page has.
func TestInstallable(t *testing.T) {
	b := newServer(t, nil)
	v := b.visitor(t)
	got := v.get(t, "/manifest.webmanifest")
	var m struct {
		Name    string `json:"name"`
		Start   string `json:"start_url"`
		Display string `json:"display"`
		Icons   []struct{ Src, Sizes, Type string }
	}
	if err := json.Unmarshal([]byte(got.body), &m); err != nil || got.header.Get("Content-Type") != "application/manifest+json" {
		t.Fatal(err, got.header)
	}
	if m.Name == "" || m.Start != "/" || m.Display != "standalone" || len(m.Icons) == 0 ||
		v.get(t, m.Icons[0].Src).header.Get("Content-Type") != m.Icons[0].Type {
		t.Errorf("%+v", m)
	}
	got = v.get(t, "/worker.js")
	for name, want := range map[string]string{"Content-Type": "text/javascript; charset=utf-8", "Cache-Control": "no-cache",
		"Service-Worker-Allowed": "/", "Content-Security-Policy": policy} {
		if is := got.header.Get(name); is != want {
			t.Errorf("the worker's %s is %q", name, is)
		}
	}
	if !strings.Contains(got.body, version) || !strings.Contains(got.body, staticPath("offline.css")) {
		t.Error("the worker is not of this version of the files")
	}
	for _, part := range []string{"manifest-src 'self'", "worker-src 'self'", "default-src 'none'", "script-src 'self';"} {
		if !strings.Contains(policy, part) {
			t.Errorf("the policy on content lacks %s", part)
		}
	}
	page := v.get(t, "/waiting").body
	signedIn := b.as(t, "nurse").get(t, "/waiting").body
	if !strings.Contains(page, "On this device") || !strings.Contains(signedIn, "N. nurse") || strings.Contains(page, "nurse") {
		t.Error("the page of the device is not the same for everybody")
	}
}

// Signing out has the browser forget what it stores, but for what waits to be sent: that is
// forgotten only where the page says that nothing does.
func TestSignOutForgets(t *testing.T) {
	b := newServer(t, nil)
	for form, want := range map[string]string{"": `"cache"`, "yes": `"cache", "storage"`} {
		got := b.as(t, "nurse").post(t, "/sign-out", map[string][]string{"nothing-waits": {form}})
		if is := got.header.Get("Clear-Site-Data"); is != want {
			t.Errorf("%q: %s", form, is)
		}
	}
}
