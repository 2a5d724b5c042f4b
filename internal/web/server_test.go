package web

import (
	"context"
	"log/slog"
	"net/http"
	"net/http/cookiejar"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
	"testing"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
	"cotline/internal/journal"
)

// bench is a server on the demo ward, with people in two units: of fern, whose record it
// is, and of moss, whose record is another ward's.
type bench struct {
	*Server
	access *access.Access
	store  *accesstest.Memory
	fern   *record
	moss   *record
	url    string
	log    *locked
	read   journal.Cursor // of fern, what was read last
}

// people of each bench: what each is called says what she is.
var people = map[string]struct {
	unit  string
	roles []access.Role
}{
	"nurse":      {"fern", []access.Role{access.Nurse}},
	"charge":     {"fern", []access.Role{access.Charge}},
	"clerk":      {"fern", []access.Role{access.Clerk}},
	"integrator": {"fern", []access.Role{access.Integrator}},
	"keeper":     {"fern", []access.Role{access.Keeper}},
	"moss-nurse": {"moss", []access.Role{access.Nurse}},
}

func newServer(t testing.TB, change func(*Config)) *bench {
	t.Helper()
	a, store, _ := accesstest.New("fern")
	b := &bench{access: a, store: store, fern: demoRecord(t), moss: mossRecord(t), log: &locked{}}
	a.Now = b.fern.clock.Now
	for name, p := range people {
		accesstest.Add(t, a, p.unit, name, p.roles...)
	}
	c := Config{
		Units:  map[string]*journal.Journal{"fern": b.fern.Journal, "moss": b.moss.Journal},
		Access: a, Now: b.fern.clock.Now, Log: slog.New(slog.NewTextHandler(b.log, &slog.HandlerOptions{Level: slog.LevelDebug})),
		Limits: DefaultLimits,
	}
	c.Limits.Often, c.Limits.Guess = Rate{}, Rate{}
	if change != nil {
		change(&c)
	}
	var err error
	if b.Server, err = New(c); err != nil {
		t.Fatal(err)
	}
	h := httptest.NewServer(b.Server)
	t.Cleanup(func() { h.Close(); b.Close() })
	b.url = h.URL
	return b
}

// visitor is a browser: it keeps cookies and follows no answer to another address.
type visitor struct {
	*http.Client
	b *bench
}

func (b *bench) visitor(t testing.TB) *visitor {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	stay := func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	return &visitor{&http.Client{Jar: jar, CheckRedirect: stay}, b}
}

// as is a browser in which somebody signed in.
func (b *bench) as(t testing.TB, name string) *visitor {
	t.Helper()
	v := b.visitor(t)
	r := v.post(t, "/sign-in", url.Values{"name": {name}, "password": {accesstest.Password}})
	if r.status != http.StatusSeeOther {
		t.Fatalf("%s: %d %s", name, r.status, r.body)
	}
	return v
}

// result is an answer, read.
type result struct {
	status int
	header http.Header
	body   string
}

func (v *visitor) do(t testing.TB, r *http.Request) result {
	t.Helper()
	got, err := v.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer got.Body.Close() // it was read
	var body strings.Builder
	buffer := make([]byte, 32<<10)
	for {
		n, err := got.Body.Read(buffer)
		body.Write(buffer[:n])
		if err != nil {
			return result{got.StatusCode, got.Header, body.String()}
		}
	}
}

func (v *visitor) request(t testing.TB, method, path string, form url.Values) *http.Request {
	t.Helper()
	r, err := http.NewRequestWithContext(context.Background(), method, v.b.url+path, strings.NewReader(form.Encode()))
	if err != nil {
		t.Fatal(err)
	}
	if method == http.MethodPost {
		r.Header.Set("Content-Type", formKind)
		r.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	return r
}

func (v *visitor) get(t testing.TB, path string) result {
	t.Helper()
	return v.do(t, v.request(t, http.MethodGet, path, nil))
}

func (v *visitor) post(t testing.TB, path string, form url.Values) result {
	t.Helper()
	return v.do(t, v.request(t, http.MethodPost, path, form))
}

// console is who works at the machine; from is where.
var (
	console = access.Console()
	from    = access.Origin{}
)

// locked is a log that several write to.
type locked struct {
	mu sync.Mutex
	b  strings.Builder
}

func (l *locked) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

func (l *locked) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}
