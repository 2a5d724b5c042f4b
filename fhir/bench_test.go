package fhir_test

import (
	"testing"

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
