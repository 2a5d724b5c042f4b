package web

import (
	"net/http"
	"net/http/httptest"
	"net/netip"
	"net/url"
	"strings"
	"testing"
)

// Whatever is asked for to go on to, it is a path of this server that a browser takes for
// one, and fits into a header.
func FuzzBack(f *testing.F) {
	for _, seed := range []string{"", "/", "/units/fern/ward?order=urgency", "//evil.example", `/\evil`, "/%0d%0aX: y",
		"https://evil.example",
		"/x#y",
		"/\tx", "/%2f%2fevil", "/..//x", "/?x=\r\n"} {
		f.Add(seed)
	}
	here, err := url.Parse("https://ward.example/sign-in")
	if err != nil {
		f.Fatal(err)
	}
	f.Fuzz(func(t *testing.T, text string) {
		got := back(text)
		if !strings.HasPrefix(got, "/") || strings.HasPrefix(got, "//") || strings.ContainsAny(got, "\\\r\n\t\x00") {
			t.Errorf("%q", got)
		}
		to, err := here.Parse(got)
		if err != nil || to.Host != here.Host || to.Scheme != here.Scheme {
			t.Errorf("%q leads to %v: %v", got, to, err)
		}
	})
}

// Whatever a proxy says, the address is one, and never a text of somebody's.
func FuzzAddress(f *testing.F) {
	for _, seed := range []string{"", "198.51.100.1", "x, 198.51.100.1", "::1", "fe80::1%eth0", "10.0.0.1, 10.0.0.2", ",,,", "1.2.3.4:5"} {
		f.Add(seed)
	}
	s := &Server{Config: Config{Proxies: []netip.Prefix{netip.MustParsePrefix("10.0.0.0/24")}}}
	f.Fuzz(func(t *testing.T, told string) {
		r := httptest.NewRequestWithContext(t.Context(), http.MethodGet, "/", nil)
		r.RemoteAddr = "10.0.0.9:1"
		r.Header["X-Forwarded-For"] = []string{told}
		if got := s.address(r); netip.MustParseAddr(got).Zone() != "" {
			t.Errorf("%q", got)
		}
	})
}
