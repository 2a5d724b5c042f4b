package web

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// stranger is a server for somebody who is not signed in and sends what she likes. Each time
// it has a store of its own, with one person, one program and one link in it.
type stranger struct {
	*bench
	clock *accesstest.Clock
	link  string
}

func newStranger(f *testing.F) *stranger {
	f.Helper()
	return &stranger{bench: newServer(f, func(c *Config) { c.TLS = true })}
}

func (s *stranger) anew(t *testing.T) {
	t.Helper()
	var a *access.Access
	a, s.store, s.clock = accesstest.New("fern")
	accesstest.Add(t, a, "fern", "nurse", access.Nurse)
	var err error
	if s.link, err = a.Reset(t.Context(), console, from, "nurse"); err != nil {
		t.Fatal(err)
	}
	a.OpenID = &access.OpenID{Issuer: "http://127.0.0.1:1", ClientID: "cotline"} // nobody is there
	s.Server.Access = a
}

// ask asks, and holds the answer to what every one must be: no fault of the program, every
// header, nobody let in, and nothing of what was sent in the log.
func (s *stranger) ask(t *testing.T, r *http.Request) *httptest.ResponseRecorder {
	t.Helper()
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	if w.Code == http.StatusInternalServerError {
		t.Errorf("%d: %s", w.Code, w.Body)
	}
	for name, values := range w.Header() {
		for _, value := range values {
			if strings.ContainsAny(name+value, "\r\n\x00") {
				t.Errorf("%q: %q", name, value)
			}
		}
	}
	if w.Header().Get("Content-Security-Policy") == "" {
		t.Error("no policy on content")
	}
	for _, c := range w.Result().Cookies() {
		if strings.Contains(c.Name, "session") && c.MaxAge >= 0 {
			t.Error("a session")
		}
	}
	if to := w.Header().Get("Location"); to != "" && (!strings.HasPrefix(to, "/") || strings.HasPrefix(to, "//")) {
		t.Errorf("to %q", to)
	}
	return w
}

// openPosts are the routes that take something before sign-in.
func openPosts() (out []route) {
	for _, rt := range routes() {
		if rt.needs == open && rt.method == http.MethodPost {
			out = append(out, rt)
		}
	}
	return out
}

// Whatever is sent to a form before sign-in, by whatever kind, cookies and proxy, is answered,
// and lets nobody in.
func FuzzOpenForms(f *testing.F) {
	s := newStranger(f)
	posts := openPosts()
	for i := range posts {
		for _, body := range []string{
			"", "name=nurse&password=x&next=/", "name=nurse&pin=123456", "name=nurse&code=AAAA+BBBB", "theme=dark&back=//x",
			"password=copper+lantern,+two+oars&again=copper+lantern,+two+oars", "a=%zz&&=;=&%00", "name=" + strings.Repeat("%41", 300),
			"grant_type=client_credentials&scope=system/*.rs&client_assertion_type=urn%3Aietf%3Aparams%3Aoauth%3Aclient-assertion-type" +
				"%3Ajwt-bearer&client_assertion=eyJhbGciOiJFUzM4NCIsImtpZCI6ImsifQ.eyJpc3MiOiJsYWIifQ.AAAA",
		} {
			f.Add(i, formKind, body, "__Host-cotline-device="+accesstest.Token(1), "198.51.100.7")
		}
	}
	f.Add(0, "multipart/form-data; boundary=x", "--x\r\nContent-Disposition: form-data; name=\"name\"\r\n\r\nnurse\r\n--x--", "", "")
	f.Add(0, formKind+"; charset=utf-16", "\xff\xfen\x00", "=;;\"", "x, y")
	f.Fuzz(func(t *testing.T, n int, kind, body, cookies, forwarded string) {
		s.anew(t)
		rt := posts[uint(n)%uint(len(posts))]
		r := httptest.NewRequestWithContext(t.Context(), http.MethodPost, strings.Replace(rt.path, "{token}", s.link, 1),
			strings.NewReader(body))
		r.Header["Content-Type"], r.Header["Cookie"], r.Header["X-Forwarded-For"] = []string{kind}, []string{cookies}, []string{forwarded}
		s.ask(t, r)
	})
}

// Whatever a browser brings back from the hospital's sign-in, in whatever path of a link and by
// whatever cookies, it is answered, goes on within this server alone, and lets nobody in.
func FuzzOpenPages(f *testing.F) {
	s := newStranger(f)
	good := url.Values{"state": {accesstest.Token(2)}, "code": {"the-code"}, "iss": {"https://sso.example"}}.Encode()
	for _, path := range []string{BackPath, BackPath + "/in", "/link/" + accesstest.Token(3), "/sign-in", "/", "/healthy",
		"/.well-known/smart-configuration", "/units/fern/infants/x", "/link/%00", "/link/..%2f"} {
		f.Add(path, good, "__Host-cotline-openid="+accesstest.Token(4))
		f.Add(path, "error=access_denied&error_description=%0d%0a", "__Host-cotline-session="+accesstest.Token(5)+"; a=b")
		f.Add(path, "state=%zz&code=%22;url=//evil.example&next=//x", "\"=;,")
	}
	f.Fuzz(func(t *testing.T, path, query, cookies string) {
		u := &url.URL{Path: "/" + strings.TrimLeft(path, "/"), RawQuery: query}
		if slices.ContainsFunc([]byte(query), func(b byte) bool { return b <= ' ' || b == 0x7f }) {
			return // no such request is read from a connection
		}
		s.anew(t)
		r := &http.Request{Method: http.MethodGet, URL: u, RequestURI: u.RequestURI(), Header: http.Header{"Cookie": {cookies}},
			Host: "ward.example", RemoteAddr: "192.0.2.7:1", Body: http.NoBody}
		w := s.ask(t, r.WithContext(t.Context()))
		if on := w.Header().Get("Refresh"); on != "" && u.Path == BackPath {
			if to, err := url.Parse(strings.TrimPrefix(on, "0; url=")); err != nil || to.Path != BackPath+"/in" || to.Host != "" ||
				len(to.Query()) != 2 || strings.ContainsAny(on, `"'`) {
				t.Errorf("on to %q: %v", on, err)
			}
		}
	})
}
