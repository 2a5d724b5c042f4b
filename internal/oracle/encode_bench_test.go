package oracle

import (
	"testing"

	"github.com/google/fhir/go/fhirversion"
	"github.com/google/fhir/go/jsonformat"

	"cotline/fhir"
)

// BenchmarkJSONFormat writes a bundle of at most 500 entries of the demo ward by
// google/fhir, from its own messages, to stand beside BenchmarkEncode of package fhir.
func BenchmarkJSONFormat(b *testing.B) {
	w, at := demo(b)
	parts, err := exported(b, w, fhir.Ask{At: at, Known: at}).Transactions(fhir.Sending{Mode: fhir.Put, Entries: 500})
	if err != nil {
		b.Fatal(err)
	}
	read, err := jsonformat.NewUnmarshaller("Europe/Vienna", fhirversion.R4)
	if err != nil {
		b.Fatal(err)
	}
	write, err := jsonformat.NewMarshaller(false, "", "", fhirversion.R4)
	if err != nil {
		b.Fatal(err)
	}
	m, err := read.Unmarshal(parts[0])
	if err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(len(parts[0])))
	for b.Loop() {
		if _, err := write.Marshal(m); err != nil {
			b.Fatal(err)
		}
	}
}
