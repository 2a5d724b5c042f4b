package web

import (
	"context"
	"slices"

	"cotline/handover/entry"
)

// ofUnit are the entries of the whole unit that a handover of now is made from.
func (l *Live) ofUnit(ctx context.Context) ([]*entry.Entry, error) {
	if _, err := l.Look(ctx); err != nil {
		return nil, err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	return slices.Clone(l.kept.unit), nil
}
