package accesstest

import (
	"testing"

	"cotline/internal/access"
	"cotline/internal/store/storetest"
)

func TestMemory(t *testing.T) {
	storetest.RunAccess(t, func(*testing.T) func() access.Store {
		m := &Memory{}
		return func() access.Store { return m }
	})
}
