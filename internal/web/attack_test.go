package web

import (
	"context"
	"errors"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// Every answer has every header: of a page, of a file, of another address, of paths and
// methods that are none, of what was refused and of what failed.
func TestHeadersOnEveryAnswer(t *testing.T) {
	b := newServer(t, func(c *Config) { c.TLS = true })
	v := b.visitor(t)
	bad := v.request(t, http.MethodPost, "/sign-in", nil)
	bad.Header.Set("Sec-Fetch-Site", "cross-site")
	for name, got := range map[string]result{
		"page": v.get(t, "/sign-in"), "file": v.get(t, staticPath("cotline.css")), "elsewhere": v.get(t, "/"), "none": v.get(t, "/x/y"),
		"method": v.do(t, v.request(t, http.MethodDelete, "/sign-in", nil)), "refused": v.do(t, bad),
		"wrong": v.post(t, "/sign-in", url.Values{"name": {"x"}, "password": {"y"}}),
	} {
		for header, want := range headers {
			if header == "Cache-Control" && name == "file" {
				continue
			}
			if got.header.Get(header) != want {
				t.Errorf("%s: %s: %q", name, header, got.header.Get(header))
			}
		}
		if got.header.Get("Strict-Transport-Security") == "" || got.header.Get("X-Request-Id") == "" {
			t.Errorf("%s: %v", name, got.header)
		}
		if strings.Contains(got.header.Get("Content-Security-Policy"), "unsafe") {
			t.Error("the policy allows what is unsafe")
		}
	}
	if got := v.do(t, v.request(t, http.MethodDelete, "/sign-in", nil)); got.status != http.StatusMethodNotAllowed {
		t.Errorf("%d", got.status)
	}
}

// Nobody else's page can frame one of ours, and no page of ours has script or style within
// it or from elsewhere, so that the policy takes nothing from it.
func TestPagesNeedNothingUnsafe(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "charge")
	key := look(t, b.fern.live()).Ward().Infants[1].Infant
	for _, path := range []string{"/sign-in", "/units/fern/ward", infantPath("fern", key), "/account", "/let-in", "/beyond", "/none"} {
		body := v.get(t, path).body
		for _, bad := range []string{"<style", " style=", " onclick=", "javascript:", "http://", "https://", "<iframe"} {
			if at := strings.Index(strings.ReplaceAll(body, `xmlns="http://www.w3.org/2000/svg"`, ""), bad); at >= 0 {
				t.Errorf("%s: %q", path, bad)
			}
		}
		if n := strings.Count(body, "<script"); n == 0 || n != strings.Count(body, `<script src="/static/`) {
			t.Errorf("%s: %d scripts", path, n)
		}
	}
}

// A form of another site changes nothing, whichever of the two headers tells where it is
// from.
func TestPostsFromOtherSites(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "nurse")
	for _, h := range []http.Header{
		{"Sec-Fetch-Site": {"cross-site"}}, {"Sec-Fetch-Site": {"same-site"}}, {"Origin": {"https://evil.example"}}, {"Origin": {"null"}},
	} {
		r := v.request(t, http.MethodPost, "/sign-out", nil)
		r.Header.Del("Sec-Fetch-Site")
		for name, value := range h {
			r.Header[name] = value
		}
		if got := v.do(t, r); got.status != http.StatusForbidden {
			t.Errorf("%v: %d", h, got.status)
		}
	}
	if got := v.get(t, "/units/fern/ward"); got.status != http.StatusOK {
		t.Errorf("signed out from elsewhere: %d", got.status)
	}
	if got := v.post(t, "/sign-out", nil); got.status != http.StatusSeeOther {
		t.Errorf("from here: %d", got.status)
	}
	if got := v.get(t, "/units/fern/ward"); got.status != http.StatusSeeOther {
		t.Errorf("after signing out: %d", got.status)
	}
}

// A session that was planted in a browser before its owner signs in is worth nothing then.
func TestFixation(t *testing.T) {
	b := newServer(t, nil)
	attacker := b.as(t, "clerk")
	planted := b.session(t, attacker)
	victim := b.visitor(t)
	u, err := url.Parse(b.url)
	if err != nil {
		t.Fatal(err)
	}
	for _, token := range []string{planted, strings.Repeat("A", 43)} {
		victim.Jar.SetCookies(u, []*http.Cookie{{Name: "cotline-session", Value: token, Path: "/"}})
		got := victim.post(t, "/sign-in", url.Values{"name": {"nurse"}, "password": {accesstest.Password}})
		if got.status != http.StatusSeeOther {
			t.Fatal(got.status)
		}
		if got := b.session(t, victim); got == token || got == "" {
			t.Errorf("the session is the planted one: %v", got == token)
		}
		if _, err := b.access.Session(t.Context(), token); !errors.Is(err, access.ErrNoSession) {
			t.Errorf("the planted session: %v", err)
		}
	}
}

// Whatever is asked for as the page to go on to, it is one of this server, and no header
// can be put in.
func TestNextIsOurs(t *testing.T) {
	b := newServer(t, nil)
	for next, want := range map[string]string{
		"/units/fern/ward?order=urgency": "/units/fern/ward?order=urgency", "//evil.example/": "/", "https://evil.example/": "/",
		`/\evil.example`: "/", "/%0d%0aSet-Cookie:x=1": "/%0d%0aSet-Cookie:x=1", "/\r\nSet-Cookie: x=1": "/",
		"javascript:alert(1)": "/", "": "/",
		"evil": "/", "/%2f%2fevil.example": "/", "http:/x": "/", "/x#\r\ny": "/x",
	} {
		v := b.visitor(t)
		b.fern.clock.set(b.fern.clock.Now().Add(time.Minute)) // tries by name come back
		got := v.post(t, "/sign-in", url.Values{"name": {"nurse"}, "password": {accesstest.Password}, "next": {next}})
		if to := got.header.Get("Location"); got.status != http.StatusSeeOther || to != want {
			t.Errorf("%q: %d to %q", next, got.status, to)
		}
		if len(got.header["Set-Cookie"]) != 2 { // session and device
			t.Errorf("%q: %q", next, got.header["Set-Cookie"])
		}
	}
}

// What is no path of ours is not there, whatever it is made to look like.
func TestPathGuessing(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "nurse")
	for _, path := range []string{
		"/static/" + version + "/..%2flook.go", "/static/" + version + "/%2e%2e%2ftemplates%2fward.tmpl", "/static/../templates/ward.tmpl",
		"/static/" + version + "/", "/static/x/cotline.css", "/.git/config", "/record.db", "//sign-in",
		"/./sign-in", "/sign-in/", "/SIGN-IN",
		"/units/fern/ward;x", "/units//ward", "/units/fern/infants/", "/units/%66ern%00/ward",
		"/units/fern/infants/%ff%fe", "/debug/pprof/",
		"/metrics",
	} {
		if got := v.get(t, path); got.status != http.StatusNotFound {
			t.Errorf("%s: %d to %q", path, got.status, got.header.Get("Location"))
		}
	}
}

// A body that is too large, or no form, is taken by nobody.
func TestBodies(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.visitor(t)
	if got := v.post(t, "/sign-in", url.Values{"name": {strings.Repeat("x", 1<<20)}}); got.status != http.StatusRequestEntityTooLarge {
		t.Errorf("%d", got.status)
	}
	for _, kind := range []string{"", "text/plain", "application/json", "multipart/form-data; boundary=x"} {
		r := v.request(t, http.MethodPost, "/sign-in", url.Values{"name": {"nurse"}})
		r.Header.Set("Content-Type", kind)
		if got := v.do(t, r); got.status != http.StatusUnsupportedMediaType {
			t.Errorf("%q: %d", kind, got.status)
		}
	}
}

// Too many requests of one address end; others go on.
func TestOften(t *testing.T) {
	b := newServer(t, func(c *Config) {
		c.Limits.Often, c.Limits.Guess = Rate{time.Hour, 6}, Rate{time.Hour, 2}
		c.Proxies = []netip.Prefix{netip.MustParsePrefix("127.0.0.0/8")}
	})
	v := b.visitor(t)
	ask := func(method, address string) int {
		r := v.request(t, method, "/sign-in", url.Values{"name": {"nobody"}, "password": {"x"}})
		r.Header.Set("X-Forwarded-For", address)
		got := v.do(t, r)
		if got.status == http.StatusTooManyRequests && got.header.Get("Retry-After") == "" {
			t.Error("no word of when to come back")
		}
		return got.status
	}
	var posts []int
	for range 3 {
		posts = append(posts, ask(http.MethodPost, "192.0.2.1"))
	}
	if posts[0] != http.StatusForbidden || posts[2] != http.StatusTooManyRequests {
		t.Errorf("tries: %v", posts)
	}
	for range 4 {
		ask(http.MethodGet, "192.0.2.1")
	}
	if got := ask(http.MethodGet, "192.0.2.1"); got != http.StatusTooManyRequests {
		t.Errorf("%d", got)
	}
	if got := ask(http.MethodGet, "192.0.2.2"); got != http.StatusOK {
		t.Errorf("another: %d", got)
	}
	for _, address := range []string{"2001:db8::1", "2001:db8::2", "2001:db8::3", "2001:db8::4", "2001:db8::5", "2001:db8::6"} {
		ask(http.MethodGet, address)
	}
	if got := ask(http.MethodGet, "2001:db8::7"); got != http.StatusTooManyRequests {
		t.Errorf("addresses of one network: %d", got)
	}
}

// The memory that addresses take is bounded.
func TestRatesAreBounded(t *testing.T) {
	r := rates{Rate: Rate{time.Second, 2}}
	now := time.Now()
	for i := range 3 * mostRates {
		r.take(netip.AddrFrom4([4]byte{10, byte(i >> 16), byte(i >> 8), byte(i)}).String(), now)
	}
	if len(r.by) > mostRates {
		t.Errorf("%d", len(r.by))
	}
}

// A fault of the program ends its request alone, and the log is not told what it was about.
func TestPanic(t *testing.T) {
	b := newServer(t, nil)
	h := b.harden(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/well" {
			w.WriteHeader(http.StatusNoContent)
			return
		}
		panic("Feldspar, Zephyr")
	}))
	for path, want := range map[string]int{"/ill": http.StatusInternalServerError, "/well": http.StatusNoContent} {
		w := httptest.NewRecorder()
		h.ServeHTTP(w, httptest.NewRequestWithContext(t.Context(), http.MethodGet, path, nil))
		if w.Code != want || strings.Contains(w.Body.String(), "Feldspar") || w.Header().Get("Content-Security-Policy") == "" {
			t.Errorf("%s: %d %s", path, w.Code, w.Body)
		}
	}
	if log := b.log.String(); !strings.Contains(log, "a fault of the program") || strings.Contains(log, "Feldspar") {
		t.Error(log)
	}
}

// The word of a proxy counts when it was named, and only its own.
func TestAddress(t *testing.T) {
	s := &Server{Config: Config{Proxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.0/24"), netip.MustParsePrefix("::1/128")}}}
	for _, c := range []struct {
		remote, told, want string
		direct             bool
	}{
		{"192.0.2.7:1", "198.51.100.1", "192.0.2.7", false},
		{"10.0.0.2:1", "198.51.100.1", "198.51.100.1", true},
		{"10.0.0.2:1", "203.0.113.9, 198.51.100.1", "198.51.100.1", true}, // the first may be invented
		{"10.0.0.2:1", "198.51.100.1, 10.0.0.3", "198.51.100.1", true},
		{"10.0.0.2:1", "", "10.0.0.2", true},
		{"10.0.0.2:1", "evil\r\n", "10.0.0.2", true},
		{"[::ffff:10.0.0.2]:1", "198.51.100.1", "198.51.100.1", true},
		{"[::1]:1", "2001:db8::1", "2001:db8::1", true},
		{"127.0.0.1:1", "198.51.100.1", "127.0.0.1", true},
		{"nonsense", "", "unknown", false},
	} {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "/", nil)
		r.RemoteAddr = c.remote
		if c.told != "" {
			r.Header.Set("X-Forwarded-For", c.told)
		}
		if got := s.address(r); got != c.want || s.direct(r) != c.direct {
			t.Errorf("%+v: %q, direct %v", c, got, s.direct(r))
		}
	}
}

// Behind a proxy that speaks TLS for it, whoever comes past the proxy is sent away.
func TestPastTheProxy(t *testing.T) {
	b := newServer(t, func(c *Config) { c.OnlyProxies = true })
	w := httptest.NewRecorder()
	r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "/sign-in", nil)
	r.RemoteAddr = "192.0.2.7:1"
	b.ServeHTTP(w, r)
	if w.Code != http.StatusForbidden {
		t.Errorf("%d", w.Code)
	}
}

// failing is a store of access that takes no trace.
type failing struct{ access.Store }

func (failing) Write(context.Context, func(access.Tx) error) error { return errors.New("disk full") }

// What cannot be traced is not shown.
func TestNothingIsShownWithoutTrace(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "nurse")
	b.access.Store = failing{b.store}
	for _, path := range []string{"/units/fern/ward", infantPath("fern", "in-01")} {
		if got := v.get(t, path); got.status != http.StatusServiceUnavailable || strings.Contains(got.body, "Feldspar") {
			t.Errorf("%s: %d", path, got.status)
		}
	}
}

// The log of everything that these visitors did tells no name, number or key of an infant,
// no token, and nothing that was typed.
func TestLogHasNoPatients(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "charge")
	v.get(t, "/units/fern/ward?order=Feldspar")
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		v.get(t, infantPath("fern", f.Infant))
	}
	v.get(t, "/units/Feldspar/ward")
	v.get(t, "/Feldspar")
	v.post(t, "/sign-in", url.Values{"name": {"Feldspar"}, "password": {"7302614"}})
	v.do(t, v.request(t, "FELDSPAR", "/", nil))
	v.get(t, "/link/"+strings.Repeat("Q", 43))
	log := b.log.String()
	if strings.Count(log, "\n") < 15 {
		t.Fatalf("it tells little:\n%s", log)
	}
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		for _, word := range []string{f.Infant, f.Family, f.Given, f.MRN, "FELDSPAR", strings.Repeat("Q", 43), b.session(t, v)} {
			if word != "" && strings.Contains(log, word) {
				t.Errorf("%q stands in the log", word)
			}
		}
	}
}
