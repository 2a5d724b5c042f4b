package sheets

import (
	"io"
	"runtime"
	"slices"
	"sync"
	"testing"
	"time"

	"cotline/internal/wardtest"
)

// BenchmarkWorkbook writes the demo ward. Much of its time goes into charts and what each sheet costs once.
func BenchmarkWorkbook(b *testing.B) { beside(b, demoWard(b)) }

// BenchmarkMonth writes the record of 60 infants over 30 days. Wanted: at most twice the memory that the packed file takes
// (x-file).
func BenchmarkMonth(b *testing.B) {
	d := demoOf(wardtest.Random(b, 1, 60, 30))
	file := beside(b, d)
	heap := heapOf(b, d, 1000)
	b.ReportMetric(float64(heap)/1e6, "heap-MB")
	b.ReportMetric(float64(heap)/float64(file), "x-file")
}

// BenchmarkQuarter writes the record of 250 infants over 90 days, some four million cells. Wanted: at most twice the time
// of the plain writer (x-plain), in less than 150 MB (heap-MB).
func BenchmarkQuarter(b *testing.B) {
	d := quarter()
	beside(b, d)
	b.ReportMetric(float64(heapOf(b, d, 20_000))/1e6, "heap-MB")
}

// quarter is a random ward as it stands at the end of its days.
var quarter = sync.OnceValue(func() demo {
	return demoOf(wardtest.Random(new(testing.B), 1, 250, 90))
})

// beside writes the sheets of a ward by this package and by the plain writer in turns, and prints the ratio of their
// times. Both start from the same sheets, whose cells are made as they are read; this package reads them twice. It returns
// how long the file is.
func beside(b *testing.B, d demo) counted {
	of := newTables(d.handover, d.entries, d.policy, "x")
	sheets, about := of.sheets(), of.about()
	var file counted
	var ours, theirs time.Duration
	for b.Loop() {
		file = 0
		start := time.Now()
		write(b, &file, d, slices.Clone(sheets), about)
		ours += time.Since(start)
		start = time.Now()
		writePlain(b, io.Discard, sheets)
		theirs += time.Since(start)
	}
	cells := 0
	for _, s := range sheets {
		for range s.rows {
			cells += len(s.heads)
		}
	}
	b.ReportMetric(0, "ns/op") // of both together
	b.ReportMetric(float64(cells)/1e6, "Mcells")
	b.ReportMetric(float64(file)/1e6, "file-MB")
	b.ReportMetric(ours.Seconds()/float64(b.N), "s")
	b.ReportMetric(theirs.Seconds()/float64(b.N), "plain-s")
	b.ReportMetric(ours.Seconds()/theirs.Seconds(), "x-plain")
	return file
}

func write(b *testing.B, w io.Writer, d demo, sheets []sheet, about func([]tally) sheet) {
	k := newBook(titleOf(d.handover), footerOf(d.handover))
	if err := k.write(w, d.handover.At, "x", sheets, about); err != nil {
		b.Fatal(err)
	}
}

// heapOf is how many bytes of heap a ward takes at most while it is written, above those of its entries and handover: what
// a collection leaves, looked at every so many rows and when the packed file begins to be written. Not in it: what is
// thrown away between collections, and the second copy of a buffer while it grows.
func heapOf(b *testing.B, d demo, every int) uint64 {
	live := func() uint64 {
		var m runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&m)
		return m.HeapAlloc
	}
	before, most := live(), uint64(0)
	look := func() { most = max(most, live()) }
	row := 0
	of := newTables(d.handover, d.entries, d.policy, "x")
	sheets, about := of.sheets(), of.about()
	for i, s := range sheets {
		sheets[i].rows = func(yield func(string, []cell) bool) {
			for key, cells := range s.rows {
				if row++; row%every == 0 {
					look()
				}
				if !yield(key, cells) {
					return
				}
			}
		}
	}
	first := sync.OnceFunc(look)
	write(b, writerFunc(func(p []byte) (int, error) { first(); return len(p), nil }), d, sheets, about)
	runtime.KeepAlive(d)
	return most - before
}

type writerFunc func([]byte) (int, error)

func (f writerFunc) Write(p []byte) (int, error) { return f(p) }

type counted int64

func (c *counted) Write(p []byte) (int, error) {
	*c += counted(len(p))
	return len(p), nil
}
