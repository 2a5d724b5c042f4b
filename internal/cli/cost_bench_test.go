package cli

import (
	"context"
	"flag"
	"fmt"
	"math"
	"path/filepath"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/intake"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/store/sqlite"
	"cotline/internal/ward"
)

// In the first month, 15,000 entries, stays and so handovers still grow: from 29 days to 118 the infants of a handover
// become 1.42 times as old on the average, from 59 to 237 only 1.16 times, which an exponent shows as growth. So a
// quarter of the entries should be at least two months.
var costEntries = flag.Int("entries", 120_000, "entries of the large record in the benchmarks of cost")

// A unit of twenty cots: each infant stays 30 days and is charted 23 times a day, and
// each day the unit hands over twice, six infants at a time.
const (
	cots     = 20
	stayDays = 30
	perDay   = 23
)

var unitStart = time.Date(2020, 1, 1, 0, 0, 0, 0, time.UTC)

// aDay is about how many entries a day brings.
const aDay = 505

// busyUnit calls chart with each day's entries. It returns the moment after the last
// of them.
func busyUnit(b *testing.B, days int, chart func([]*entry.Entry)) (end time.Time) {
	n := 0
	for day := range days {
		at := unitStart.AddDate(0, 0, day)
		var out []*entry.Entry
		add := func(infant, kind string, at time.Time, fields string) string {
			n++
			id := fmt.Sprintf("00000000-0000-4000-8000-%012d", n)
			if infant != "" {
				fields = `"infant":"` + infant + `",` + fields
			}
			stamp := at.Format(time.RFC3339)
			v, _ := entry.ParseJSON(fmt.Appendf(nil, `{"id":%q,"kind":%q,"at":%q,"charted":%q,"by":"rn-agate",%s}`, id, kind, stamp,
				stamp, fields))
			e, issues := entry.Decode(v)
			if len(issues) > 0 {
				b.Fatal(issues)
			}
			out = append(out, &e)
			return id
		}
		for cot := range cots {
			key := infantAt(day, cot)
			if (day+cot)%stayDays == 0 || day == 0 {
				add(key, "admission", at, fmt.Sprintf(`"born":%q,"cot":"%d","mrn":"%07d","family":"Fern%c","gestation":"28+3"`,
					at.Format(time.DateOnly), cot+1, day*cots+cot, 'a'+rune(cot)))
				add(key, "support", at, `"state":"started","mode":"cpap"`)
			}
			for i := range perDay {
				when := at.Add(time.Duration(i)*time.Hour + time.Minute)
				switch i % 6 {
				case 0:
					add(key, "interface", when, `"type":"mask"`)
				case 1:
					add(key, "skin", when, `"sites":[{"site":"bridge","finding":"intact"}]`)
				case 2:
					add(key, "settings", when, `"pressureCmH2O":6,"fio2Percent":25`)
				default:
					add(key, "observations", when, `"spo2Percent":94,"heartRateBpm":150,"respRateBpm":48`)
				}
			}
			if (day+cot+1)%stayDays == 0 {
				add(key, "discharge", at.Add(23*time.Hour+30*time.Minute), `"to":"home"`)
			}
		}
		for _, hour := range []int{7, 19} {
			when := at.Add(time.Duration(hour)*time.Hour + 30*time.Minute)
			for bay := range 3 {
				infants := ""
				for cot := bay * 6; cot < bay*6+6; cot++ {
					infants += fmt.Sprintf(`,%q`, infantAt(day, cot))
				}
				of := add("", "handover", when, fmt.Sprintf(`"to":"rn-birch","asOf":%q,`+
					`"infants":[%s]`, when.Format(time.RFC3339), infants[1:]))
				add("", "acceptance", when.Add(5*time.Minute), fmt.Sprintf(`"handover":%q,"infants":[%s]`, of, infants[1:]))
			}
		}
		add("", "note", at.Add(12*time.Hour), `"text":"lift out of order"`)
		chart(out)
		end = at.AddDate(0, 0, 1)
	}
	return end
}

// infantAt is who lies in a cot on a day.
func infantAt(day, cot int) string { return fmt.Sprintf("in-%d-%d", cot, (day+cot)/stayDays) }

type costed struct {
	*journal.Journal
	policy *handover.Policy
	end    time.Time
	chart  time.Duration
	n      int
}

// charted is a record of so many days, charted day by day, or in one file.
func charted(b *testing.B, days int, oneFile bool) *costed {
	b.Helper()
	policy, issues := intake.Policy(ward.Policy())
	if len(issues) > 0 {
		b.Fatal(issues)
	}
	store, err := sqlite.Open(context.Background(), filepath.Join(b.TempDir(), "ward.db"), true)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { store.Close() })
	c := &costed{policy: policy, Journal: &journal.Journal{Store: store, Unit: unit, Engine: version, Compile: compiled}}
	c.Now = func() time.Time { return unitStart.AddDate(20, 0, 0) }
	take := func(all []*entry.Entry) {
		start := time.Now()
		if _, err := c.Append(context.Background(), policy, journal.Offer(all)); err != nil {
			b.Fatal(err)
		}
		c.chart += time.Since(start)
		c.n += len(all)
	}
	var file []*entry.Entry
	c.end = busyUnit(b, days, func(day []*entry.Entry) {
		if oneFile {
			file = append(file, day...)
		} else {
			take(day)
		}
	})
	if oneFile {
		take(file)
	}
	return c
}

// fastest is the shortest of several runs: what else the machine does only adds.
func fastest(runs int, do func()) time.Duration {
	least := time.Duration(math.MaxInt64)
	for range runs {
		start := time.Now()
		do()
		least = min(least, time.Since(start))
	}
	return least
}

// BenchmarkCostOfSize charts one entry, and compiles one infant who is as many days
// old, in a large record and in one of 10,000 entries, and prints how much more the
// large one costs: at most 1.3 times as much.
func BenchmarkCostOfSize(b *testing.B) {
	ctx := context.Background()
	var chart, compiling [2]time.Duration
	const few = 20
	for i, days := range []int{few, few + *costEntries/aDay/stayDays*stayDays} {
		c := charted(b, days, false)
		key := infantAt(days-1, cots-1)
		at := c.end.Add(-time.Hour)
		made := 0
		chart[i] = fastest(300, func() {
			made++
			v, _ := entry.ParseJSON(fmt.Appendf(nil, `{"id":"00000000-0000-4000-9000-%012d","infant":%q,"kind":"observations","at":%q,`+
				`"by":"rn-agate","spo2Percent":93}`, made, key, at.Format(time.RFC3339)))
			e, _ := entry.Decode(v)
			if _, err := c.Append(ctx, c.policy, journal.Offer([]*entry.Entry{&e})); err != nil {
				b.Fatal(err)
			}
		})
		compiling[i] = fastest(50, func() {
			r, err := c.ReadAbout(ctx, journal.About{Infants: []string{key}, At: at, Known: at}, c.policy)
			if err != nil || len(r.Findings) > 0 {
				b.Fatal(err, r.Findings)
			}
			w := r.Ward(c.policy)
			w.Only = []string{key}
			page.JSON(compile(w, window{at: at, known: at}, r))
		})
		b.Logf("%d entries: one charted in %v, one infant compiled in %v", c.n, chart[i], compiling[i])
	}
	b.ReportMetric(float64(chart[1])/float64(chart[0]), "chart-ratio")
	b.ReportMetric(float64(compiling[1])/float64(compiling[0]), "compile-ratio")
}

// BenchmarkLinear charts a file and verifies the record, at three sizes, and prints
// the exponents by which their cost grows with it, at most 1.1, and how many times
// as long as reading verifying takes, at most 5. What reading grows by is printed
// beside: it goes once through the same bytes.
func BenchmarkLinear(b *testing.B) {
	ctx := context.Background()
	days := *costEntries / aDay
	sizes := []int{days / 4, days / 2, days}
	var chart, verify, reading, entries []float64
	times := 0.0
	for _, n := range sizes {
		c := charted(b, n, true)
		c.chart = min(c.chart, charted(b, n, true).chart)
		read := fastest(4, func() {
			if _, err := c.Read(ctx); err != nil {
				b.Fatal(err)
			}
		})
		verified := fastest(4, func() {
			if r, err := c.Verify(ctx); err != nil || len(r.Findings) > 0 {
				b.Fatal(err, r.Findings)
			}
		})
		b.Logf("%d entries: charted in %v, read in %v, verified in %v", c.n, c.chart, read, verified)
		times = max(times, float64(verified)/float64(read))
		entries, chart = append(entries, float64(c.n)), append(chart, float64(c.chart))
		reading, verify = append(reading, float64(read)), append(verify, float64(verified))
	}
	exponent := func(y []float64) float64 {
		return math.Log(y[2]/y[0]) / math.Log(entries[2]/entries[0])
	}
	b.ReportMetric(exponent(chart), "chart-exponent")
	b.ReportMetric(exponent(verify), "verify-exponent")
	b.ReportMetric(exponent(reading), "read-exponent")
	b.ReportMetric(times, "verify/read")
}
