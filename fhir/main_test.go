package fhir_test

import (
	"flag"
	"os"
	"testing"
)

// TestMain bounds how long a fuzzer whittles down what it keeps: a hundred tries each
// instead of a minute, in which it does nothing else.
func TestMain(m *testing.M) {
	flag.Parse()
	if f := flag.Lookup("test.fuzzminimizetime"); f.Value.String() == f.DefValue {
		if err := f.Value.Set("100x"); err != nil {
			panic(err)
		}
	}
	os.Exit(m.Run())
}
