package fhir_test

import (
	"bytes"
	"encoding/json"
	"runtime/metrics"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/internal/ward"
)

// BenchmarkExport makes the parts of a ward's export, against a plain scan of the same
// entries as JSON.
func BenchmarkExport(b *testing.B) { exportBeside(b, 6, 4) }

// exportBeside reports the time as a ratio to reading the same lines with
// encoding/json, and the most that the heap held above the entries.
func exportBeside(b *testing.B, infants, days int) {
	var text []byte
	for line := range ward.Random(1, infants, days) {
		text = append(text, line...)
	}
	w := handover.Ward{Entries: fixture.Entries(b, text), Policy: fixture.WardPolicy(b)}
	at := w.Entries[len(w.Entries)-1].At.Time
	began := time.Now()
	for line := range bytes.Lines(text) {
		var v any
		if err := json.Unmarshal(line, &v); err != nil {
			b.Fatal(err)
		}
	}
	plain := time.Since(began)
	before, peak := heap(), watchHeap()
	for b.Loop() {
		s := fhir.Sending{Mode: fhir.Put, Entries: 100, Bytes: 1 << 20}
		if _, err := fhir.Send(w, fhir.Ask{At: at, Known: at}, s, func([]byte) error { return nil }); err != nil {
			b.Fatal(err)
		}
	}
	most := peak()
	b.ReportMetric(float64(b.Elapsed())/float64(b.N)/float64(plain), "x-scan")
	b.ReportMetric(float64(max(most, before)-before)/(1<<20), "MiB-above")
}

// heap is what it holds, in bytes.
func heap() uint64 {
	s := []metrics.Sample{{Name: "/memory/classes/heap/objects:bytes"}}
	metrics.Read(s)
	return s[0].Value.Uint64()
}

// watchHeap looks every 5 ms until it is asked for the most that it saw.
func watchHeap() (most func() uint64) {
	stop, seen := make(chan struct{}), make(chan uint64)
	go func() {
		var most uint64
		for {
			select {
			case <-stop:
				seen <- most
				return
			case <-time.After(5 * time.Millisecond):
				most = max(most, heap())
			}
		}
	}()
	return func() uint64 { close(stop); return <-seen }
}
