//go:build outside

package web

import (
	"bytes"
	"io"
	"net/http"
	"net/http/httptest"
	"net/http/httputil"
	"net/url"
	"slices"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/uuid"

	"cotline/handover/entry"
	"cotline/internal/page"
)

// gate stands between browser and server, and is told what to let through.
type gate struct {
	mode atomic.Value // up, down, cut: the next answer to a post, up-not-sheets: no forms, fail-83: on a form with that
	cuts atomic.Int32
	to   http.Handler
}

func (g *gate) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	mode := g.mode.Load().(string)
	sheet := r.Method == http.MethodPost && strings.Contains(r.URL.Path, "/chart/")
	var form []byte
	if sheet {
		form, _ = io.ReadAll(r.Body) // what is cut off fails where it goes
		r.Body = io.NopCloser(bytes.NewReader(form))
	}
	switch {
	case mode == "fail-83" && bytes.Contains(form, []byte("spo2Percent=83")):
		w.WriteHeader(http.StatusServiceUnavailable)
	case mode == "cut" && sheet:
		g.to.ServeHTTP(httptest.NewRecorder(), r)
		g.cuts.Add(1)
		g.mode.Store("down")
		fallthrough
	case mode == "down", mode == "up-not-sheets" && sheet:
		c, _, err := http.NewResponseController(w).Hijack()
		if err == nil {
			c.Close()
		}
	default:
		g.to.ServeHTTP(w, r)
	}
}

// The server goes in mid-shift, and comes back: what was kept is read, what was charted is
// charted once, by whom and when it was sent, whatever came between; nothing to be read
// stays on the device after signing out or past the limit.
func TestWithoutNetwork(t *testing.T) {
	started := time.Now()
	demo := demoRecord(t).clock.Now()
	running := func() time.Time { return demo.Add(time.Since(started)) }
	b := newServer(t, func(c *Config) { c.Now, c.Units["fern"].Now = running, running })
	b.access.Now = running
	plain, alike := b.two(t)[0], b.infant(t, true)
	before := b.head(t)

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

	name := page.Plain(page.NewScreen(look(t, b.fern.live()).Ward()).Infant(plain).Name)
	said := b.drive(t, "offline.mjs", map[string]any{"base": front.URL, "gate": told.URL, "profile": t.TempDir(),
		"ward": wardPath("fern"), "plain": infantPath("fern", plain.Infant), "alike": infantPath("fern", alike.Infant),
		"digits": tail(numberOf(alike)), "number": numberOf(alike), "doubtful": "1204", "name": name})
	queue := said.queue
	if t.Failed() || len(said.looked) != 3*8 || len(queue) != 6 || g.cuts.Load() < 1 {
		t.Fatalf("%d pages, %d waited, %d cut", len(said.looked), len(queue), g.cuts.Load())
	}
	taken := b.since(t, before)
	var values []string
	for _, e := range taken {
		values = append(values, e.By+" "+e.Infant+" "+e.Kind+" "+e.Text("spo2Percent")+e.Text("weightG"))
	}
	slices.Sort(values)
	want := []string{"charge P observations 87", "nurse A observations 88", "nurse A observations 89", "nurse A observations 95",
		"nurse P observations 81",
		"nurse P observations 82", "nurse P observations 83", "nurse P observations 84", "nurse P observations 85",
		"nurse P observations 86",
		"nurse P observations 90", "nurse P observations 91", "nurse P observations 93", "nurse P observations 94",
		"nurse P observations 95", "nurse P weight 1204"}
	for i := range want {
		want[i] = strings.NewReplacer("P", plain.Infant, "A", alike.Infant).Replace(want[i])
	}
	slices.Sort(want)
	if !slices.Equal(values, want) {
		t.Errorf("charted:\n%s\nwanted:\n%s", strings.Join(values, "\n"), strings.Join(want, "\n"))
	}
	for _, x := range queue {
		x.check(t, taken, func(device time.Time) time.Time { return demo.Add(device.Sub(started)) })
	}
	asOnline(t, queue[:2], taken)
}

// waited is what waited on the device.
type waited struct {
	Token, Path, Body, User string
	Sent                    int64
}

// check holds what was taken to what waited: once, by her, and at the moment when she sent
// it, whatever was asked or mended before it was taken.
func (x waited) check(t *testing.T, taken []*entry.Entry, moment func(time.Time) time.Time) {
	t.Helper()
	of := x.of(taken)
	if len(of) != 1 {
		t.Errorf("%s: %d entries", x.Path, len(of))
		return
	}
	late := of[0].At.Sub(moment(time.UnixMilli(x.Sent)))
	if of[0].By != x.User || late.Abs() > time.Second { // a moment is charted to the second
		t.Errorf("%s: by %s, %s later than sent", x.Path, of[0].By, late)
	}
}

// of are the entries that come from its token.
func (x waited) of(taken []*entry.Entry) (out []*entry.Entry) {
	for _, e := range taken {
		if e.ID == idOf(uuid.MustParse(x.Token), e.Kind).String() {
			out = append(out, e)
		}
	}
	return out
}

// asOnline charts the same forms on another server while it answers, with the same time typed:
// the entries are the same but for when they were taken.
func asOnline(t *testing.T, queue []waited, taken []*entry.Entry) {
	t.Helper()
	b := newServer(t, nil)
	b.fern.clock.set(b.fern.clock.Now().Add(time.Hour))
	nurse, before := b.as(t, "nurse"), b.head(t)
	for _, x := range queue {
		form, err := url.ParseQuery(x.Body)
		if err != nil {
			t.Fatal(err)
		}
		form.Set("at.which", x.of(taken)[0].At.Text)
		mustGoOn(t, nurse.post(t, x.Path, form))
	}
	online := b.since(t, before)
	for i, x := range queue {
		was, is := *x.of(taken)[0], *online[i]
		was.Charted, is.Charted = entry.Moment{}, entry.Moment{}
		if a, b := was.AppendCanonical(nil), is.AppendCanonical(nil); !bytes.Equal(a, b) {
			t.Errorf("waited:\n%s\nonline:\n%s", a, b)
		}
	}
}
