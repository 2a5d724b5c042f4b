package handover

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// latest is the last entry that passes, nil for none.
func latest(entries []*entry.Standing, pass func(*entry.Standing) bool) *entry.Standing {
	for _, e := range slices.Backward(entries) {
		if pass(e) {
			return e
		}
	}
	return nil
}

// after are the entries, in order, that happened after a moment.
func after(entries []*entry.Standing, t time.Time) []*entry.Standing {
	return entries[len(entry.UpTo(entries, t)):]
}

// since are the entries, in order, that happened at a moment or after it.
func since(entries []*entry.Standing, t time.Time) []*entry.Standing {
	return entries[len(before(entries, t)):]
}

// before are the entries, in order, that happened before a moment.
func before(entries []*entry.Standing, t time.Time) []*entry.Standing {
	return entry.UpTo(entries, t.Add(-1))
}

// always passes every entry.
func always(*entry.Standing) bool { return true }

// having passes entries with a field.
func having(field string) func(*entry.Standing) bool {
	return func(e *entry.Standing) bool { return e.Has(field) }
}

// being passes entries whose word is one of some.
func being(field string, words ...string) func(*entry.Standing) bool {
	return func(e *entry.Standing) bool { return slices.Contains(words, e.Text(field)) }
}

// notBefore passes entries from a moment on.
func notBefore(t time.Time) func(*entry.Standing) bool {
	return func(e *entry.Standing) bool { return !e.At.Before(t) }
}

func latestOf(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

// atOr is when an entry happened, or else another moment.
func atOr(e *entry.Standing, otherwise time.Time) time.Time {
	if e == nil {
		return otherwise
	}
	return e.At.Time
}

func numberAt(e *entry.Standing, field string) *entry.Decimal {
	if e == nil {
		return nil
	}
	v, ok := e.Number(field)
	if !ok {
		return nil
	}
	return &v
}

// find is the entry with an id, nil for none; mostly it is a late one that is looked for.
func find(entries []*entry.Standing, id string) *entry.Standing {
	for _, e := range slices.Backward(entries) {
		if e.ID == id {
			return e
		}
	}
	return nil
}
