package web

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"fmt"
	"log/slog"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/store/sqlite"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

// clock is a clock that a test sets.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) set(t time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = t
}

// record is a stored record with a clock of its own.
type record struct {
	*journal.Journal
	path   string
	policy *handover.Policy
	clock  *clock
}

func newRecord(t testing.TB, policy *handover.Policy, at time.Time) *record {
	return recordAt(t, filepath.Join(t.TempDir(), "record.db"), policy, &clock{now: at})
}

func recordAt(t testing.TB, path string, policy *handover.Policy, c *clock) *record {
	t.Helper()
	store, err := sqlite.Open(context.Background(), path, true)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { store.Close() })
	j := &journal.Journal{Store: store, Unit: "unit", Now: c.Now, Engine: "test",
		Compile: func(handover.Ward, time.Time, time.Time, journal.Head) []byte { return []byte("{}\n") }}
	return &record{j, path, policy, c}
}

func (r *record) chart(t testing.TB, entries ...*entry.Entry) {
	t.Helper()
	_, err := r.Append(context.Background(), r.policy, journal.Offer(entries))
	var refused *journal.Refused
	if errors.As(err, &refused) {
		t.Fatal(refused.Issues)
	}
	if err != nil {
		t.Fatal(err)
	}
}

func (r *record) live() *Live {
	return &Live{Journal: r.Journal, Now: r.clock.Now, Log: slog.New(slog.DiscardHandler)}
}

func look(t testing.TB, l *Live) *Snapshot {
	t.Helper()
	s, err := l.Look(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// offered are lines of a record as they are offered: not stamped.
func offered(t testing.TB, lines []byte) (out []*entry.Entry) {
	t.Helper()
	for line := range bytes.Lines(lines) {
		e, issues := wardtest.ReadEntry(string(line))
		if len(issues) > 0 {
			t.Fatalf("%s: %v", line, issues)
		}
		out = append(out, &e)
	}
	return out
}

// whole is the handover of the whole record, compiled from nothing, without those who
// left long ago.
func (r *record) whole(t testing.TB, at time.Time) []byte {
	t.Helper()
	read, err := r.Read(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	h := handover.Compile(read.Ward(r.policy), at, at, time.Time{})
	h.Position, h.Chain = read.Head.Position, read.Head.Chain.String()
	h.Left = slices.DeleteFunc(h.Left, func(l handover.Left) bool { return at.Sub(l.At) > leftFor })
	return page.JSON(h)
}

// What is kept and brought up to date is what comes out of the whole record, whichever
// infants the new entries are of, at moments of one minute and over days: on the demo
// ward, whose entries hold corrections, handovers, tasks and a second admission, and on
// random ones.
func TestLiveIsTheWholeRecord(t *testing.T) {
	t.Parallel()
	policy, demo := ward.Demo()
	lines := func(seed uint64, infants, days int) []byte {
		return bytes.Join(slices.Collect(ward.Random(seed, infants, days)), nil)
	}
	for name, c := range map[string]struct{ policy, lines []byte }{
		"demo": {policy, demo}, "random": {ward.Policy(), lines(2, 5, 4)},
	} {
		all := offered(t, c.lines)
		slices.SortStableFunc(all, func(a, b *entry.Entry) int { return chartedOf(a).Compare(chartedOf(b)) })
		for from, at := range map[string]time.Time{"as time passes": chartedOf(all[0]), "within a minute": chartedOf(all[len(all)-1])} {
			t.Run(name+" "+from, func(t *testing.T) { compareLive(t, newRecord(t, wardtest.Policy(t, c.policy), at), all) })
		}
	}
}

// strides of the record, after the first few steps: each is compared with the whole record.
var strides = flag.Int("strides", 15, "in how many strides a record is charted under those who look")

func compareLive(t *testing.T, r *record, all []*entry.Entry) {
	n := r.chartFirst(t, all, 1)
	all = all[n:]
	l := r.live()
	before := look(t, l)
	first, kept, stride := before.At, 0, 1 + len(all) / *strides
	for steps := 0; len(all) > 0; steps++ {
		n = min(len(all), 1+steps%7*3)
		if steps > 8 { // at a stride, so that days pass
			n = min(len(all), stride)
		}
		all = all[r.chartFirst(t, all, n):]
		look(t, l)
		l.Close() // what is compiled beside
		s := look(t, l)
		if got, want := page.JSON(s.Ward()), r.whole(t, s.At); !bytes.Equal(got, want) {
			t.Fatalf("after %d steps, at %s: %s", steps, s.At, cmp.Diff(string(want), string(got)))
		}
		kept += len(s.infants)
		for key, c := range s.infants {
			if before.infants[key].summary != c.summary {
				kept--
			}
		}
		before = s
	}
	if before.At.Equal(first) && kept == 0 {
		t.Error("nobody was ever shown as compiled before")
	}
}

// chartFirst charts the first n entries or, where they need others that were charted
// later, as many more as it takes, at the latest of their moments.
func (r *record) chartFirst(t testing.TB, all []*entry.Entry, n int) int {
	t.Helper()
	for {
		for _, e := range all[:n] {
			if r.clock.Now().Before(chartedOf(e)) {
				r.clock.set(chartedOf(e))
			}
		}
		_, err := r.Append(context.Background(), r.policy, journal.Offer(all[:n]))
		var refused *journal.Refused
		switch {
		case err == nil:
			return n
		case !errors.As(err, &refused) || n == len(all):
			t.Fatal(err)
		}
		n = min(len(all), n+5)
	}
}

// chartedOf is when an entry was charted, or happened.
func chartedOf(e *entry.Entry) time.Time {
	if e.Charted.IsZero() || e.Charted.Before(e.At.Time) {
		return e.At.Time
	}
	return e.Charted.Time
}

// One infant's entry, written by another process, compiles that infant anew and nobody
// else, and is there at once.
func TestOneEntryCompilesOneInfant(t *testing.T) {
	r := demoRecord(t)
	l := r.live()
	before := look(t, l)
	key := before.Ward().Infants[2].Infant
	at := r.clock.Now().Format(time.RFC3339)
	other := recordAt(t, r.path, r.policy, r.clock)
	other.chart(t, offered(t, []byte(`{"id":"00000000-0000-4000-8000-00000000aaaa","infant":"`+key+
		`","kind":"observations","at":"`+at+`","by":"rn-agate","spo2Percent":77}`+"\n"))...)
	after := look(t, l)
	for i, f := range after.Ward().Infants {
		if same := f == before.Ward().Infants[i]; same == (f.Infant == key) {
			t.Errorf("%s: the same summary %v", f.Cot, same)
		}
	}
	_, _, f, here := after.Infant(key)
	is77 := func(o handover.Observed) bool { return o.Field == "spo2Percent" && o.Value == "77" }
	if !here || !slices.ContainsFunc(f.Observations, is77) {
		t.Error("the entry is not there")
	}
	if again := look(t, l); again != after {
		t.Error("compiled anew without anything new")
	}
}

// Time passing alone: what was compiled is shown for up to fresh while all is compiled
// beside it; after that nobody is shown what is older.
func TestTimePasses(t *testing.T) {
	t.Parallel()
	r := demoRecord(t)
	l := r.live()
	first := look(t, l)
	r.clock.set(r.clock.Now().Add(time.Minute))
	if s := look(t, l); s != first {
		t.Error("a page waited for the clock")
	}
	l.Close()
	if s := look(t, l); !s.At.Equal(first.At.Add(time.Minute)) {
		t.Errorf("compiled for %s", s.At)
	}
	r.clock.set(r.clock.Now().Add(time.Hour))
	if s := look(t, l); !s.At.Equal(first.At.Add(61 * time.Minute)) {
		t.Errorf("compiled for %s", s.At)
	}
}

// Several read while another process charts and the clock goes on; each sees what was
// durable before it asked.
func TestManyLookWhileOneCharts(t *testing.T) {
	t.Parallel()
	r := demoRecord(t)
	l := r.live()
	other := recordAt(t, r.path, r.policy, r.clock)
	key := look(t, l).Ward().Infants[0].Infant
	var newest atomic.Int64
	newest.Store(look(t, l).Head.Position)
	var wg sync.WaitGroup
	for range 4 {
		wg.Go(func() {
			for range 10 {
				durable := newest.Load()
				s, err := l.Look(context.Background())
				if err != nil || s.Head.Position < durable {
					t.Errorf("position %d of %d: %v", s.Head.Position, durable, err)
					return
				}
				h, w, f, here := s.Infant(key)
				if !here || len(page.Pictures(h, w, f)) == 0 || page.NewScreen(s.Ward()).Line(f).Infant != key {
					t.Error("not there")
				}
			}
		})
	}
	for i := range 10 {
		at := r.clock.Now().Add(time.Duration(i%3) * 20 * time.Second)
		r.clock.set(at)
		receipt, err := other.Append(context.Background(), r.policy, journal.Offer(offered(t, fmt.Appendf(nil,
			`{"id":"00000000-0000-4000-8000-%012d","infant":%q,"kind":"observations","at":%q,"by":"rn-agate","spo2Percent":91}`,
			900+i, key, at.Format(time.RFC3339)))))
		if err != nil {
			t.Fatal(err)
		}
		newest.Store(receipt.Head.Position)
	}
	wg.Wait()
	l.Close()
}
