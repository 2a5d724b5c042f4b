package handover_test

import (
	"testing"

	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

// Entries as lines of JSON, and read of them.
var (
	entryID, entryLine   = wardtest.EntryID, wardtest.EntryLine
	readEntry, mustEntry = wardtest.ReadEntry, wardtest.MustEntry
)

const noon = "2026-10-24T12:00:00+02:00"

// ward reads entries, one a line; their lines count from 1.
func ward(t testing.TB, lines ...string) []*entry.Entry {
	t.Helper()
	var out []*entry.Entry
	for i, text := range lines {
		e := mustEntry(t, text)
		e.Line = i + 1
		out = append(out, e)
	}
	return out
}

// told is what a test needs of an issue.
type told struct {
	Path string
	Code entry.Code
}

func tell(issues []entry.Issue) []told {
	var out []told
	for _, i := range issues {
		out = append(out, told{i.Path, i.Code})
	}
	return out
}
