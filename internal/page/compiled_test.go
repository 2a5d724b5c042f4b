package page

import (
	"testing"

	"cotline/handover"
	"cotline/internal/wardtest"
)

// demo is the demo ward's handover at its moment.
func demo(t testing.TB) *handover.Handover {
	t.Helper()
	return wardtest.Demo(t).Handover
}
