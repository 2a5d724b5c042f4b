package web

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"sync"
	"testing"
	"time"

	"cotline/handover"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

// charted is a ward as a stored record, made once a test binary: its file, with what tells
// where it ends.
type charted struct {
	once       sync.Once
	file, head []byte
	policy     *handover.Policy
	at         time.Time
}

var demoCharted, mossCharted charted

// record is a copy of its own for each test.
func (c *charted) record(t testing.TB, make func() *record) *record {
	t.Helper()
	c.once.Do(func() {
		r := make()
		c.policy, c.at = r.policy, r.clock.Now()
		if err := r.Store.Close(); err != nil {
			t.Fatal(err)
		}
		c.file, c.head = fileOf(t, r.path), fileOf(t, sqlite.HeadOf(r.path))
	})
	path := filepath.Join(t.TempDir(), "record.db")
	for name, text := range map[string][]byte{path: c.file, sqlite.HeadOf(path): c.head} {
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return recordAt(t, path, c.policy, &clock{now: c.at})
}

func fileOf(t testing.TB, path string) []byte {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// demoRecord is the demo ward in a stored record, at its handover.
func demoRecord(t testing.TB) *record {
	t.Helper()
	return demoCharted.record(t, func() *record {
		policy, lines := ward.Demo()
		r := newRecord(t, wardtest.Policy(t, policy), wardtest.Moment(t, ward.DemoAt))
		r.chart(t, offered(t, lines)...)
		return r
	})
}

// mossRecord is a random ward in a record of its own, at its last moment.
func mossRecord(t testing.TB) *record {
	t.Helper()
	return mossCharted.record(t, func() *record {
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
	})
}

// finding is something wrong with a record.
var finding = journal.Finding{Position: 7, What: "the chain does not hold"}
