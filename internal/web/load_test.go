package web

import (
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
)

var load = flag.Duration("load", 3*time.Second, "how long 50 people read and chart in BenchmarkFiftyPeople")

const (
	atOnce   = 50
	chartsOf = 5 // one of so many things that somebody does is charting
)

// asked is a request that was answered, and how long that took.
type asked struct {
	what string // read, form or chart
	took time.Duration
}

// BenchmarkFiftyPeople has 50 people read ward and infants and chart observations for -load,
// on loopback, with nobody waiting between two requests; all of it traced and durable in the
// record's file. No request may fail. It prints the 99th percentiles beside that of a handler
// which only writes as many bytes, asked by as many at once; and what was charted is counted in
// the record. The clock of the ward runs.
func BenchmarkFiftyPeople(b *testing.B) {
	r := demoRecord(b)
	begun, at := time.Now(), r.clock.Now()
	now := func() time.Time { return at.Add(time.Since(begun)) }
	j := *r.Journal
	j.Now = now
	a := &access.Access{Store: r.Store.(*sqlite.Store).Access(), Home: "fern", Now: now, Hash: accesstest.Cheap}
	log := &locked{}
	c := Config{Units: map[string]*journal.Journal{"fern": &j}, Access: a, Now: now, Limits: DefaultLimits,
		Log: slog.New(slog.NewTextHandler(log, &slog.HandlerOptions{Level: slog.LevelWarn}))}
	c.Limits.Often, c.Limits.Guess = Rate{}, Rate{}
	s, err := New(c)
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	pages := httptest.NewServer(s)
	defer pages.Close()
	var infants []string
	for _, f := range look(b, s.units["fern"]).Ward().Infants {
		if len(f.LookAlikes) == 0 && f.Support.State == "on" {
			infants = append(infants, f.Infant)
		}
	}
	var cookies []string
	for i := range atOnce {
		name := fmt.Sprintf("nurse-%d", i)
		accesstest.Add(b, a, "fern", name, access.Nurse)
		cookies = append(cookies, "cotline-session="+accesstest.In(b, a, name).Token)
	}
	before, err := r.Read(b.Context())
	if err != nil {
		b.Fatal(err)
	}
	sizes := &sync.Map{}
	all := atOnce50(b, cookies, func(v *person, n int) { v.works(pages.URL, infants, sizes, n) })
	if told := log.String(); told != "" {
		b.Errorf("the log warns: %.1000s", told)
	}
	if len(of(all, "chart")) == 0 {
		b.Fatal("nobody came to chart: give it longer by -load")
	}
	after, err := r.Read(b.Context())
	if err != nil || len(after.Findings) > 0 {
		b.Fatal(after.Findings, err)
	}
	if got, want := int(after.Head.Position-before.Head.Position), len(of(all, "chart")); got != want {
		b.Errorf("%d entries of %d that were said to be taken", got, want)
	}
	bare := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		io.Copy(io.Discard, r.Body) // of a form one field alone comes in
		size, _ := sizes.Load(r.Method + r.URL.Path)
		n, _ := size.(int)       // nobody may have come as far
		w.Write(make([]byte, n)) // to a benchmark
	}))
	defer bare.Close()
	peer := atOnce50(b, cookies, func(v *person, n int) { v.asksAlone(bare.URL, infants, n) })
	b.ReportMetric(p99(all), "p99-ms")
	for _, what := range []string{"read", "form", "chart"} {
		b.ReportMetric(p99(of(all, what)), "p99-ms-"+what)
	}
	b.ReportMetric(p99(peer), "p99-ms-bytes-alone")
	b.ReportMetric(float64(len(all))/load.Seconds(), "requests/s")
	b.ReportMetric(float64(len(of(all, "chart"))), "entries")
	b.ReportMetric(0, "ns/op")
}

// person is one of those who ask at once.
type person struct {
	testing.TB
	client *http.Client
	cookie string
	number int
	asked  []asked
	failed bool
}

// atOnce50 has everybody do something again and again for -load.
func atOnce50(b *testing.B, cookies []string, do func(*person, int)) (all []asked) {
	b.Helper()
	transport := &http.Transport{MaxIdleConnsPerHost: atOnce}
	defer transport.CloseIdleConnections()
	stay := func(*http.Request, []*http.Request) error { return http.ErrUseLastResponse }
	client := &http.Client{Transport: transport, CheckRedirect: stay}
	var mu sync.Mutex
	var wg sync.WaitGroup
	until := time.Now().Add(*load)
	for i, cookie := range cookies {
		wg.Go(func() {
			v := &person{TB: b, client: client, cookie: cookie, number: i}
			for n := 0; time.Now().Before(until) && !v.failed; n++ {
				do(v, n)
			}
			mu.Lock()
			defer mu.Unlock()
			all = append(all, v.asked...)
		})
	}
	wg.Wait()
	if len(all) == 0 {
		b.Fatal("nobody asked for anything")
	}
	return all
}

// ask asks, and gives the answer's body; want is the status without which it failed.
func (v *person) ask(what, method, address string, form url.Values, want int) string {
	r, err := http.NewRequestWithContext(v.Context(), method, address, strings.NewReader(form.Encode()))
	if err != nil {
		v.fail("%v", err)
		return ""
	}
	r.Header.Set("Cookie", v.cookie)
	if method == http.MethodPost {
		r.Header.Set("Content-Type", formKind)
		r.Header.Set("Sec-Fetch-Site", "same-origin")
	}
	from := time.Now()
	got, err := v.client.Do(r)
	if err != nil {
		v.fail("%v", err)
		return ""
	}
	body, err := io.ReadAll(got.Body)
	got.Body.Close() // it was read
	if err != nil || got.StatusCode != want {
		v.fail("%s: %d %v %.200s", what, got.StatusCode, err, strings.Join(problem.FindAllString(string(body), -1), " "))
		return ""
	}
	v.asked = append(v.asked, asked{what, time.Since(from)})
	return string(body)
}

// problem is what a page says is wrong.
var problem = regexp.MustCompile(`<h1>[^<]*|<li>[^<]*`)

func (v *person) fail(format string, args ...any) {
	v.Errorf(format, args...)
	v.failed = true
}

// path is what somebody asks for as her nth thing, and whether she charts there.
func (v *person) path(infants []string, n int) (path string, charts bool) {
	infant := infants[(v.number+n)%len(infants)]
	switch n % chartsOf {
	case 0:
		return wardPath("fern"), false
	case chartsOf - 1:
		return chartPath("fern", infant) + "/observations", true
	}
	return infantPath("fern", infant), false
}

// works is one thing that somebody does.
func (v *person) works(base string, infants []string, sizes *sync.Map, n int) {
	path, charts := v.path(infants, n)
	if !charts {
		sizes.Store(http.MethodGet+path, len(v.ask("read", http.MethodGet, base+path, nil, http.StatusOK)))
		return
	}
	page := v.ask("form", http.MethodGet, base+path, nil, http.StatusOK)
	if v.failed {
		return
	}
	sizes.Store(http.MethodGet+path, len(page))
	id := n*atOnce + v.number // no two are the same, which would be asked about
	posted := with(shown(v, page), "observations.spo2Percent", fmt.Sprint(91+id%5),
		"observations.heartRateBpm", fmt.Sprint(120+id/5%40), "observations.respRateBpm", fmt.Sprint(30+id/200%40))
	sizes.Store(http.MethodPost+path, len(v.ask("chart", http.MethodPost, base+path, posted, http.StatusSeeOther)))
}

// asksAlone asks for as many bytes.
func (v *person) asksAlone(base string, infants []string, n int) {
	path, charts := v.path(infants, n)
	v.ask("read", http.MethodGet, base+path, nil, http.StatusOK)
	if charts && !v.failed {
		v.ask("chart", http.MethodPost, base+path, url.Values{"observations.spo2Percent": {"92"}}, http.StatusOK)
	}
}

func of(all []asked, what string) (out []asked) {
	for _, x := range all {
		if x.what == what {
			out = append(out, x)
		}
	}
	return out
}

// p99 is the 99th percentile, in milliseconds.
func p99(all []asked) float64 {
	if len(all) == 0 {
		return 0
	}
	all = slices.Clone(all)
	slices.SortFunc(all, func(x, y asked) int { return int(x.took - y.took) })
	return all[len(all)*99/100].took.Seconds() * 1e3
}
