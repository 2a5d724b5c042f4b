package journal_test

import (
	"testing"

	"cotline/internal/journal"
)

// BenchmarkAppend charts one note, durably, into a record that grows.
func BenchmarkAppend(b *testing.B) {
	r := newBench(b)
	n := 0
	for b.Loop() {
		n++
		if _, err := r.Append(ctx, r.policy, journal.Offer(fileOf(b, n)[1:2])); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkRead reads a record of 3,000 entries and holds it to its chain.
func BenchmarkRead(b *testing.B) {
	r := newBench(b)
	for n := range 1000 {
		r.chart(b, fileOf(b, n)[1:]...)
	}
	for b.Loop() {
		if got := r.read(b); len(got.Entries) != 3000 {
			b.Fatal(len(got.Entries))
		}
	}
}
