package entry_test

import (
	"testing"
	"time"

	"cotline/handover/entry"
)

const (
	carriedAdmission = `{"id":"0b5e0001-0000-4000-8000-000000000001","infant":"in-a","kind":"admission",` +
		`"at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-03-01","cot":"1","mrn":"0042","family":"Quartzley"}`
	carriedBonnet = `{"id":"0b5e0001-0000-4000-8000-000000000002","infant":"in-a","kind":"bonnet","at":"2026-03-01T09:00:00+01:00",` +
		`"by":"rn-dune","action":"fitted","size":"of another unit"}`
)

// What was read back from an export is held already, though its charted was
// stamped, and though the name was left out; with other content it is refused; and
// nobody but an export may give the charted that an entry was stamped with.
func TestCarried(t *testing.T) {
	there, issues := entry.Accept(entry.Nothing, ward(t, carriedAdmission), nil, time.Minute, taken)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	copies := func(change func(*entry.Entry)) []entry.Issue {
		e := ward(t, string(there[0].AppendStamped(nil)))[0]
		e.Carried = true
		change(e)
		fresh, issues := entry.Accept(held(there), []*entry.Entry{e}, nil, time.Minute, taken.Add(time.Hour))
		if len(fresh) > 0 {
			t.Error("charted again")
		}
		return issues
	}
	same := func(*entry.Entry) {}
	if issues := copies(same); len(issues) > 0 {
		t.Error(issues)
	}
	if issues := copies(func(e *entry.Entry) { *e = *e.Unnamed() }); len(issues) > 0 {
		t.Errorf("without the name: %v", issues)
	}
	for fault, change := range map[string]func(*entry.Entry){
		"not carried":     func(e *entry.Entry) { e.Carried = false },
		"another charted": func(e *entry.Entry) { e.Charted = entry.MomentOf(taken.Add(time.Second)) },
		"another cot": func(e *entry.Entry) {
			*e = *e.Unnamed()
			e.Fields[1].Value.Text = "2"
		},
	} {
		if issues := copies(change); len(issues) != 1 || issues[0].Code != entry.CodeIDConflict {
			t.Errorf("%s: %v", fault, issues)
		}
	}
}

// Sizes and steps were judged by the unit that took the entry.
func TestCarriedSizes(t *testing.T) {
	lists := &entry.Lists{Bonnets: []string{"bud"}}
	entries := ward(t, carriedAdmission, carriedBonnet)
	if _, issues := entry.Accept(entry.Nothing, entries, lists, time.Minute, time.Time{}); len(issues) != 1 {
		t.Errorf("not carried: %v", issues)
	}
	entries[1].Carried = true
	if _, issues := entry.Accept(entry.Nothing, entries, lists, time.Minute, time.Time{}); len(issues) > 0 {
		t.Error(issues)
	}
}
