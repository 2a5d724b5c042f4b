package web

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/access/accesstest"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/store/sqlite"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

var load = flag.Duration("load", 3*time.Second, "how long 50 people read in BenchmarkFiftyPeople")

const readers = 50

// BenchmarkFiftyPeople has 50 people read ward and infants for -load, each page traced in
// the record's file and durable. No page may fail. It prints the 99th percentile of a page
// beside that of a handler which only writes as many bytes, under the same 50 readers.
func BenchmarkFiftyPeople(b *testing.B) {
	r := demoRecord(b)
	store := r.Store.(*sqlite.Store)
	a := &access.Access{Store: store.Access(), Home: "fern", Now: r.clock.Now, Hash: accesstest.Cheap}
	c := Config{Units: map[string]*journal.Journal{"fern": r.Journal}, Access: a, Now: r.clock.Now, Log: slog.New(slog.DiscardHandler),
		Limits: DefaultLimits}
	c.Limits.Often, c.Limits.Guess = Rate{}, Rate{}
	s, err := New(c)
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	pages := httptest.NewServer(s)
	defer pages.Close()
	var cookies []string
	for i := range readers {
		name := fmt.Sprintf("reader-%d", i)
		accesstest.Add(b, a, "fern", name, access.Nurse)
		cookies = append(cookies, "cotline-session="+accesstest.In(b, a, name).Token)
	}
	paths := []string{"/units/fern/ward"}
	for _, f := range look(b, s.units["fern"]).Ward().Infants {
		paths = append(paths, infantPath("fern", f.Infant))
	}
	var sizes sync.Map
	whole, n := readAll(b, pages.URL, paths, cookies, &sizes)
	bare := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		size, _ := sizes.Load(r.URL.Path)
		w.Write(make([]byte, size.(int))) // to a benchmark
	}))
	defer bare.Close()
	peer, _ := readAll(b, bare.URL, paths, cookies, new(sync.Map))
	b.ReportMetric(whole.Seconds()*1e3, "p99-ms")
	b.ReportMetric(peer.Seconds()*1e3, "p99-ms-bytes-alone")
	b.ReportMetric(float64(n)/load.Seconds(), "pages/s")
	b.ReportMetric(0, "ns/op")
}

// readAll has everybody read for -load, and gives the 99th percentile and how many pages.
func readAll(b *testing.B, base string, paths, cookies []string, sizes *sync.Map) (time.Duration, int) {
	client := &http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: readers}}
	var mu sync.Mutex
	var took []time.Duration
	var wg sync.WaitGroup
	until := time.Now().Add(*load)
	for i, cookie := range cookies {
		wg.Go(func() {
			var own []time.Duration
			for k := i; time.Now().Before(until); k++ {
				path := paths[k%len(paths)]
				r, err := http.NewRequestWithContext(context.Background(), http.MethodGet, base+path, nil)
				if err != nil {
					b.Error(err)
					return
				}
				r.Header.Set("Cookie", cookie)
				from := time.Now()
				got, err := client.Do(r)
				if err != nil {
					b.Error(err)
					return
				}
				n, err := io.Copy(io.Discard, got.Body)
				got.Body.Close() // it was read
				own = append(own, time.Since(from))
				if err != nil || got.StatusCode != http.StatusOK {
					b.Errorf("%d %v", got.StatusCode, err)
					return
				}
				sizes.Store(path, int(n))
			}
			mu.Lock()
			defer mu.Unlock()
			took = append(took, own...)
		})
	}
	wg.Wait()
	slices.Sort(took)
	if len(took) == 0 {
		b.Fatal("nobody read anything")
	}
	return took[len(took)*99/100], len(took)
}

// largeRecord is a random ward charted as it is, at its last moment, and the bytes of it.
func largeRecord(b *testing.B, infants, days int) (*record, int) {
	b.Helper()
	var lines bytes.Buffer
	for line := range ward.Random(1, infants, days) {
		lines.Write(line)
	}
	return recordOf(b, offered(b, lines.Bytes())), lines.Len()
}

// fullRecord is a random ward that nobody ever left.
func fullRecord(b *testing.B, infants, days int) *record {
	b.Helper()
	var lines bytes.Buffer
	for line := range ward.Random(1, infants, days) {
		lines.Write(line)
	}
	var all []*entry.Entry
	here, gone := map[string]bool{}, map[string]bool{} // infants; entries that are left out
	for _, e := range offered(b, lines.Bytes()) {
		if e.Kind == "discharge" || e.Kind == "admission" && here[e.Infant] || e.Amends() && gone[e.Reference("of")] {
			gone[e.ID] = true
			continue
		}
		here[e.Infant] = here[e.Infant] || e.Kind == "admission"
		all = append(all, e)
	}
	return recordOf(b, all)
}

func recordOf(b *testing.B, all []*entry.Entry) *record {
	b.Helper()
	at := chartedOf(all[0])
	for _, e := range all {
		if t := chartedOf(e); t.After(at) {
			at = t
		}
	}
	r := newRecord(b, wardtest.Policy(b, ward.Policy()), at)
	r.chart(b, all...)
	return r
}

func heap() uint64 {
	runtime.GC()
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}

// BenchmarkMemory is what a unit with 250 infants of four days takes in memory, with all
// that is compiled of it, beside the bytes of its entries.
func BenchmarkMemory(b *testing.B) {
	r, size := largeRecord(b, 250, 4)
	l := r.live()
	before := heap()
	here := len(look(b, l).Ward().Infants)
	took := heap() - before
	b.ReportMetric(float64(took)/(1<<20), "MiB")
	b.ReportMetric(float64(took)/float64(size), "of-entries'-bytes")
	b.ReportMetric(float64(here), "infants-here")
	b.ReportMetric(0, "ns/op")
	runtime.KeepAlive(l)
}

// BenchmarkWardPageQuarter is the ward's page of 60 infants over 90 days, beside the
// rendering of a handover that is compiled already; and what one entry costs until a page
// tells it, beside its durable write.
func BenchmarkWardPageQuarter(b *testing.B) {
	r := fullRecord(b, 60, 90)
	bench := newServer(b, func(c *Config) {
		c.Units = map[string]*journal.Journal{"fern": r.Journal}
		c.Now = r.clock.Now
	})
	bench.access.Now = r.clock.Now
	token := bench.session(b, bench.as(b, "nurse"))
	ask := func() {
		w := httptest.NewRecorder()
		q := httptest.NewRequestWithContext(b.Context(), http.MethodGet, "/units/fern/ward", nil)
		q.Header.Set("Cookie", "cotline-session="+token)
		bench.ServeHTTP(w, q)
		if w.Code != http.StatusOK {
			b.Fatal(w.Code)
		}
	}
	ask()
	snap := look(b, bench.units["fern"])
	timed := func(n int, do func(int)) float64 {
		from := time.Now()
		for i := range n {
			do(i)
		}
		return time.Since(from).Seconds() / float64(n)
	}
	rendered := timed(20, func(int) {
		if err := page.HTML(io.Discard, snap.Ward(), handover.Ward{}, page.Options{}); err != nil {
			b.Fatal(err)
		}
	})
	whole := timed(20, func(int) { ask() })
	key := snap.Ward().Infants[0].Infant
	var write, seen float64
	for i := range 10 {
		const line = `{"id":"00000000-0000-4000-8000-%012d","infant":%q,"kind":"observations","at":%q,"by":"rn-agate","spo2Percent":%d}`
		e := offered(b, fmt.Appendf(nil, line,
			77_000_000_000+i, key, r.clock.Now().Format(time.RFC3339), 80+i))
		write += timed(1, func(int) { r.chart(b, e...) })
		seen += timed(1, func(int) { ask() })
	}
	b.ReportMetric(whole/rendered, "of-rendering")
	b.ReportMetric(seen/write, "entry-to-page-of-its-write")
	b.ReportMetric(float64(len(snap.Ward().Infants)), "infants-here")
	b.ReportMetric(0, "ns/op")
}
