package handover_test

import (
	"fmt"
	"testing"
	"time"

	"cotline/handover"
	invented "cotline/internal/ward"
)

// compileLimit is how long the handover of 250 infants, four days of entries each,
// may take; other sizes in proportion. The metric of-limit is the part of it that
// was used.
const (
	compileLimit = time.Second
	limitInfants = 250
)

func BenchmarkCompile(b *testing.B) {
	for _, infants := range []int{12, 250, 2000} {
		b.Run(fmt.Sprint(infants), func(b *testing.B) {
			w := handover.Ward{Policy: inventedPolicy(b, "Europe/Vienna")}
			var at time.Time
			for line := range invented.Random(1, infants, 4) {
				e := mustEntry(b, string(line))
				w.Entries = append(w.Entries, e)
				if e.At.After(at) {
					at = e.At.Time
				}
			}
			b.ReportAllocs()
			b.ResetTimer()
			n := 0
			for range b.N {
				n += len(handover.Compile(w, at, at, time.Time{}).Infants)
			}
			b.StopTimer()
			each := b.Elapsed().Seconds() / float64(b.N)
			b.ReportMetric(float64(n)/b.Elapsed().Seconds(), "infants/s")
			b.ReportMetric(float64(len(w.Entries)), "entries")
			b.ReportMetric(each/compileLimit.Seconds()*limitInfants/float64(infants), "of-limit")
		})
	}
}
