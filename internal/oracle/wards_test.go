// Package oracle holds what the product writes to readers and validators of
// others. It is a module of its own: what it stands on never enters the product.
package oracle

import (
	"bytes"
	"slices"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/intake"
	"cotline/internal/ward"
)

// exported is what a ward's record yields at the end of its lines.
func exported(t testing.TB, lines []byte) *fhir.Export {
	t.Helper()
	policy, issues := intake.Policy(ward.Policy())
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	offer, err := intake.Record(bytes.NewReader(lines), policy.ClockTolerance)
	if err != nil || len(offer.Issues) > 0 {
		t.Fatal(err, offer.Issues)
	}
	last := time.Time{}
	for _, e := range offer.Entries {
		if e.At.After(last) {
			last = e.At.Time
		}
	}
	x, err := fhir.New(handover.Ward{Entries: offer.Entries, Policy: policy}, fhir.Ask{At: last, Known: last.Add(24 * time.Hour)})
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// wards are the demo and some random ones.
func wards(t testing.TB) map[string]*fhir.Export {
	t.Helper()
	_, demo := ward.Demo()
	return map[string]*fhir.Export{
		"demo":     exported(t, demo),
		"random 1": exported(t, bytes.Join(slices.Collect(ward.Random(1, 4, 2)), nil)),
		"random 2": exported(t, bytes.Join(slices.Collect(ward.Random(2, 4, 2)), nil)),
	}
}
