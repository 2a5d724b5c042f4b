package journal_test

import "testing"

// BenchmarkAppend charts one note, durably, into a record that grows.
func BenchmarkAppend(b *testing.B) {
	r := newBench(b)
	n := 0
	for b.Loop() {
		n++
		r.chart(b, note(b, n, "x"))
	}
}

// BenchmarkRead reads a record of 3,000 entries and holds it to its chain.
func BenchmarkRead(b *testing.B) {
	r := newBench(b)
	for n := range 1000 {
		r.chart(b, note(b, 3*n, "x"), note(b, 3*n+1, "xx"), note(b, 3*n+2, "xxx"))
	}
	for b.Loop() {
		if got := r.read(b); len(got.Entries) != 3000 {
			b.Fatal(len(got.Entries))
		}
	}
}
