package handover

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover/entry"
)

// A policy that was kept tells of each value what the policy told that was kept.
func TestKeptPolicy(t *testing.T) {
	v, issues := entry.ParseJSON([]byte(`{"unit":"Sedge","every":{"rotationDue":"5h","care":{"mouth-care":"6h"}},"sizes":{"mask":["S"]}}`))
	p, more := DecodePolicy(v, time.LoadLocation)
	kept, again := KeptPolicy(p.Canonical(), time.LoadLocation)
	if issues = append(append(issues, more...), again...); len(issues) > 0 {
		t.Fatal(issues)
	}
	if diff := cmp.Diff(p.Lines(), kept.Lines()); diff != "" || kept.Hash() != p.Hash() {
		t.Error(diff)
	}
}
