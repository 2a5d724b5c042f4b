package read_test

import (
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"cotline/fhir/read"
)

// BenchmarkRead reads 2,000 Observations of a hospital, one a line, and says how many
// times longer that takes than decoding them with encoding/json into a tree.
func BenchmarkRead(b *testing.B) {
	var lines [][]byte
	size := 0
	for n := range 2000 {
		lines = append(lines, []byte(strings.Replace(foreignObservation, `"value":"6"`, fmt.Sprintf(`"value":"%d"`, n), 1)))
		size += len(lines[n])
	}
	g := given(b)
	b.SetBytes(int64(size))
	var peer time.Duration
	for b.Loop() {
		var r read.Resources
		for n, line := range lines {
			r.Line(n+1, line)
		}
		if read := r.Read(g); len(read.Entries) != len(lines) {
			b.Fatal(read.Issues)
		}
		b.StopTimer()
		from := time.Now()
		for _, line := range lines {
			var tree any
			if err := json.Unmarshal(line, &tree); err != nil {
				b.Fatal(err)
			}
		}
		peer += time.Since(from)
		b.StartTimer()
	}
	b.ReportMetric(float64(b.Elapsed())/float64(peer), "x-json")
}
