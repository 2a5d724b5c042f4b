package cli

import (
	"slices"
	"testing"

	"cotline/fhir"
	"cotline/internal/access"
)

// The words of the trace and those that FHIR has a code for are the same.
func TestEveryEventHasAnAuditEvent(t *testing.T) {
	kinds := fhir.AuditKinds()
	for _, k := range access.EventKinds {
		if !slices.Contains(kinds, string(k)) {
			t.Errorf("%s has none", k)
		}
	}
	if len(kinds) != len(access.EventKinds) {
		t.Errorf("%d kinds here, %d there", len(access.EventKinds), len(kinds))
	}
}
