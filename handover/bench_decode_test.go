package handover_test

import (
	"bytes"
	"errors"
	"io"
	"testing"
	"time"

	"github.com/go-json-experiment/json/jsontext"

	"cotline/handover/entry"
	invented "cotline/internal/ward"
)

// decodeLimit is what reading one entry may take. The metric of-limit is the part of
// it that was used, and of-plain how many times the time that a plain reader takes for
// the tokens of the same bytes in the same run.
const decodeLimit = 4 * time.Microsecond

func BenchmarkDecode(b *testing.B) {
	var lines [][]byte
	for line := range invented.Random(1, 20, 4) {
		lines = append(lines, bytes.Clone(line))
	}
	var own, plain time.Duration
	b.ReportAllocs()
	for b.Loop() {
		start := time.Now()
		for _, line := range lines {
			v, issues := entry.ParseJSON(line)
			if len(issues) == 0 {
				_, issues = entry.Decode(v)
			}
			if len(issues) > 0 {
				b.Fatal(issues)
			}
		}
		own += time.Since(start)
		start = time.Now()
		for _, line := range lines {
			if err := plainly(line); err != nil {
				b.Fatal(err)
			}
		}
		plain += time.Since(start)
	}
	b.ReportMetric(float64(own.Nanoseconds())/float64(b.N*len(lines)), "ns/entry")
	b.ReportMetric(float64(own)/float64(b.N*len(lines))/float64(decodeLimit), "of-limit")
	b.ReportMetric(float64(own)/float64(plain), "of-plain")
}

func plainly(line []byte) error {
	d := jsontext.NewDecoder(bytes.NewReader(line))
	for {
		if _, err := d.ReadToken(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}
