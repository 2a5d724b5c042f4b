package web

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"runtime"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

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
