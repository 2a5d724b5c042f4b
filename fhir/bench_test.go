package fhir_test

import (
	"testing"

	"cotline/fhir"
)

func BenchmarkNew(b *testing.B) {
	w, ask := demo(b)
	for b.Loop() {
		if _, err := fhir.New(w, ask); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkTransaction(b *testing.B) {
	w, ask := demo(b)
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
	text := []byte(smallBundle(b))
	b.SetBytes(int64(len(text)))
	for b.Loop() {
		fhir.Check(text)
	}
}
