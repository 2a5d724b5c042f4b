package web

import (
	"bytes"
	"slices"
	"strings"
	"sync"
	"testing"

	"cotline/internal/journal"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

// mossRecord is a random ward in a record of its own, at its last moment.
func mossRecord(t testing.TB) *record {
	t.Helper()
	all := offered(t, bytes.Join(slices.Collect(ward.Random(3, 4, 2)), nil))
	last := chartedOf(all[0])
	for _, e := range all {
		if at := chartedOf(e); at.After(last) {
			last = at
		}
	}
	r := newRecord(t, wardtest.Policy(t, ward.Policy()), last)
	r.chart(t, all...)
	return r
}

// locked is a log that several write to.
type locked struct {
	mu sync.Mutex
	b  strings.Builder
}

func (l *locked) String() string {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.String()
}

func (l *locked) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.b.Write(p)
}

// finding is something wrong with a record.
var finding = journal.Finding{Position: 7, What: "the chain does not hold"}
