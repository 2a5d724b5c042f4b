package handover_test

import (
	"fmt"
	"testing"

	"cotline/handover/entry"
)

// entryID is a UUID that ends in n.
func entryID(n int) string { return fmt.Sprintf("00000000-0000-4000-8000-%012d", n) }

// entryLine is an entry of kind with its own fields, as JSON.
func entryLine(n int, infant, kind, at, own string) string {
	s := `{"id":"` + entryID(n) + `"`
	if infant != "" {
		s += `,"infant":"` + infant + `"`
	}
	s += `,"kind":"` + kind + `","at":"` + at + `","by":"rn-agate"`
	if own != "" {
		s += "," + own
	}
	return s + "}"
}

const noon = "2026-10-24T12:00:00+02:00"

func readEntry(text string) (entry.Entry, []entry.Issue) {
	v, issues := entry.ParseJSON([]byte(text))
	if len(issues) > 0 {
		return entry.Entry{}, issues
	}
	v.Line = 1
	return entry.Decode(v)
}

func mustEntry(t testing.TB, text string) *entry.Entry {
	t.Helper()
	e, issues := readEntry(text)
	if len(issues) > 0 {
		t.Fatalf("%s\n%v", text, issues)
	}
	return &e
}

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
