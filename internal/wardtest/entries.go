package wardtest

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"cotline/handover/entry"
)

// EntryID is a UUID that ends in n.
func EntryID(n int) string { return fmt.Sprintf("00000000-0000-4000-8000-%012d", n) }

// EntryLine is an entry of a kind with its own fields, as JSON.
func EntryLine(n int, infant, kind, at, own string) string {
	s := `{"id":"` + EntryID(n) + `"`
	if infant != "" {
		s += `,"infant":"` + infant + `"`
	}
	s += `,"kind":"` + kind + `","at":"` + at + `","by":"rn-agate"`
	if own != "" {
		s += "," + own
	}
	return s + "}"
}

// ReadEntry reads one line.
func ReadEntry(text string) (entry.Entry, []entry.Issue) {
	v, issues := entry.ParseJSON([]byte(text))
	if len(issues) > 0 {
		return entry.Entry{}, issues
	}
	v.Line = 1
	return entry.Decode(v)
}

// MustEntry reads one line that is sound.
func MustEntry(t testing.TB, text string) *entry.Entry {
	t.Helper()
	e, issues := ReadEntry(text)
	if len(issues) > 0 {
		t.Fatalf("%s\n%v", text, issues)
	}
	return &e
}

// Holding is a record of some entries, in memory.
type Holding []*entry.Entry

// Entry is the one of an id, nil for none.
func (h Holding) Entry(id string) *entry.Entry {
	for _, e := range h {
		if e.ID == id {
			return e
		}
	}
	return nil
}

// Infant are all of one infant.
func (h Holding) Infant(key string) (out []*entry.Entry) {
	for _, e := range h {
		if e.Infant == key {
			out = append(out, e)
		}
	}
	return out
}

// Stays may be all of them.
func (h Holding) Stays(key string) []*entry.Entry { return h.Infant(key) }

// Like is a key that is the same but for case.
func (h Holding) Like(key string) string {
	for _, e := range h {
		if strings.EqualFold(e.Infant, key) {
			return e.Infant
		}
	}
	return ""
}

// Keys are the infants held.
func (h Holding) Keys() (out []string) {
	for _, e := range h {
		if e.Infant != "" && !slices.Contains(out, e.Infant) {
			out = append(out, e.Infant)
		}
	}
	return out
}
