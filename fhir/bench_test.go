package fhir_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"testing"
	"time"

	"github.com/go-json-experiment/json/jsontext"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
)

func BenchmarkNew(b *testing.B) {
	w, ask := fixture.Demo(b)
	for b.Loop() {
		if _, err := fhir.New(w, ask); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTransaction(b *testing.B) {
	w, ask := fixture.Demo(b)
	x, err := fhir.New(w, ask)
	if err != nil {
		b.Fatal(err)
	}
	b.ReportMetric(float64(len(x.Resources)), "resources")
	for b.Loop() {
		if _, err := x.Transaction(fhir.Put); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCheck(b *testing.B) {
	text := []byte(fixture.SmallBundle(b))
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		r4.Check(text)
	}
}

// BenchmarkScan reads a transaction of 500 resources of the demo ward into the tree that
// the checker walks, and says how many times longer the same bytes take others: jsontext
// for its tokens alone, without a tree, and encoding/json for a tree that loses the order
// of names and those that stand twice. Beside them: the whole check, of which it is a part.
func BenchmarkScan(b *testing.B) {
	w, ask := fixture.Demo(b)
	x, err := fhir.New(w, ask)
	if err != nil {
		b.Fatal(err)
	}
	text := must(x.First(500).Write(false))
	readers := []struct {
		name string
		read func() error
	}{
		{"scan", func() error { _, err := r4.Scan(text, r4.Scanning{}); return err }},
		{"check", func() error { r4.Check(text); return nil }},
		{"jsontext", func() error { return tokens(text) }},
		{"encoding/json", func() error {
			var tree any
			d := json.NewDecoder(bytes.NewReader(text))
			d.UseNumber()
			return d.Decode(&tree)
		}},
	}
	took := make([]time.Duration, len(readers))
	for b.Loop() {
		for i, r := range readers {
			began := time.Now()
			if err := r.read(); err != nil {
				b.Fatal(r.name, err)
			}
			if t := time.Since(began); took[i] == 0 || t < took[i] {
				took[i] = t // by the quickest: others may be at work on the machine
			}
		}
	}
	for i, r := range readers[1:] {
		b.ReportMetric(float64(took[i+1])/float64(took[0]), r.name+"/scan")
	}
	b.ReportMetric(0, "ns/op")
}

// tokens reads them all, and makes nothing of them.
func tokens(text []byte) error {
	d := jsontext.NewDecoder(bytes.NewReader(text))
	for {
		if _, err := d.ReadToken(); errors.Is(err, io.EOF) {
			return nil
		} else if err != nil {
			return err
		}
	}
}
