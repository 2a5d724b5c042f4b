//go:build outside && firefox

package web

import (
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"slices"
	"strings"
	"testing"
)

// Another engine than that of the other tests goes through a shift, with what is charted
// without the server too. It takes longer than a change should wait, hence its own tag.
func TestShiftInFirefox(t *testing.T) {
	b := newServer(t, nil)
	f, before := b.two(t)[0], b.head(t)
	at, err := url.Parse(b.url)
	if err != nil {
		t.Fatal(err)
	}
	g := &gate{to: &httputil.ReverseProxy{Rewrite: func(r *httputil.ProxyRequest) { r.SetURL(at); r.Out.Host = r.In.Host }}}
	g.mode.Store("up")
	front := httptest.NewServer(g)
	defer front.Close()
	told := httptest.NewServer(http.HandlerFunc(func(_ http.ResponseWriter, r *http.Request) { g.mode.Store(r.URL.Path[1:]) }))
	defer told.Close()
	b.drive(t, "../firefox/walk.mjs", map[string]any{"base": front.URL, "gate": told.URL, "profile": t.TempDir(),
		"firefox": "/usr/bin/firefox-esr", "modules": npmModules(t, "testdata/firefox"), "out": "nurse", "in": "charge",
		"key": f.Infant, "ward": wardPath("fern"), "infant": infantPath("fern", f.Infant)})
	var kinds []string
	for _, e := range b.since(t, before) {
		kinds = append(kinds, e.By+" "+e.Kind+" "+e.Text("spo2Percent"))
	}
	slices.Sort(kinds)
	want := []string{"charge acceptance ", "charge observations 87", "nurse correction ", "nurse handover ", "nurse observations 92",
		"nurse settings ", "nurse skin "}
	if !slices.Equal(kinds, want) {
		t.Errorf("charted: %s\nwanted: %s", strings.Join(kinds, ", "), strings.Join(want, ", "))
	}
}
