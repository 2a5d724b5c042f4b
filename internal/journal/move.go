package journal

import (
	"strings"
	"time"

	"cotline/handover/entry"
)

// Move moves entries to the infant they belong to: those of one that happened between two
// moments, both in, but for admissions, which stay where they are.
type Move struct {
	From, To     string // keys of infants
	Since, Until time.Time
	Swap         bool // those of the other move back the same way
	Reason, By   string
}

// Moving is an entry as it stands, and where it goes.
type Moving struct {
	*entry.Standing
	To string
}

// Same says whether two are one entry that says the same and goes the same way.
func (a Moving) Same(b Moving) bool {
	return a.To == b.To && a.ID == b.ID && string(a.AppendCanonical(nil)) == string(b.AppendCanonical(nil))
}

// Find lists the entries to move, in the record's order.
func (m Move) Find(held entry.Holding) []Moving {
	out := m.between(held.Infant(m.From), m.To)
	if m.Swap {
		out = append(out, m.between(held.Infant(m.To), m.From)...)
	}
	return out
}

// everything is as known after all that was charted.
var everything = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

func (m Move) between(entries []*entry.Entry, to string) (out []Moving) {
	for _, r := range entry.Replay(entries, everything).Infants {
		for _, e := range r.Entries {
			if e.Kind != "admission" && !e.At.Before(m.Since) && !e.At.After(m.Until) {
				out = append(out, Moving{e, to})
			}
		}
	}
	return out
}

// Entries are the retractions, charted at now, and the entries charted anew as they stand,
// to be taken together or not at all. An entry's line is its number in the list. Issues
// are of the reason or of who moves them; then there are no entries.
func (m Move) Entries(found []Moving, newID func() string, now time.Time) ([]*entry.Entry, []entry.Issue) {
	anew := map[string]string{} // id charted anew, by the id it stands for
	for _, e := range found {
		anew[e.ID] = newID()
	}
	var out []*entry.Entry
	for i, e := range found {
		copied := &entry.Entry{ID: anew[e.ID], Infant: e.To, Kind: e.Kind, At: e.At, By: m.By, Line: i + 1}
		for _, f := range e.Fields {
			// What names an entry that moves too names it where it went.
			if went := anew[strings.ToLower(f.Value.Text)]; went != "" {
				f.Value.Text = went
			}
			copied.Fields = append(copied.Fields, f)
		}
		v := entry.Value{Type: entry.ObjectValue, Line: i + 1, Fields: []entry.Field{
			entry.TextField("id", newID()),
			entry.TextField("infant", e.Infant),
			entry.TextField("kind", "retraction"),
			entry.TextField("at", entry.MomentOf(now).Text),
			entry.TextField("by", m.By),
			entry.TextField("of", e.ID),
			entry.TextField("reason", m.Reason),
			entry.TextField("movedTo", anew[e.ID]),
		}}
		retraction, issues := entry.Decode(v)
		if len(issues) > 0 {
			return nil, issues
		}
		out = append(out, &retraction, copied)
	}
	return out, nil
}

// RecordOf is an infant's record as it stands, nil where there is none.
func RecordOf(held entry.Holding, key string) *entry.Record {
	entries := held.Infant(key)
	if len(entries) == 0 {
		return nil
	}
	return entry.Replay(entries, everything).Of(key)
}
