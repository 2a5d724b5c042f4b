package sheets

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// listed is an entry of the record and how it stands in the reading.
type listed struct {
	*entry.Entry
	standing  string
	by        string // the id of what amends it, or of what it amends
	hideNames bool
}

// How an entry may stand.
const (
	stands      = "stands"
	corrected   = "corrected"
	retracted   = "retracted"
	holds       = "holds"
	replaced    = "replaced by a later correction"
	ofRetracted = "of a retracted entry"
)

// read lists every entry of a reading in the record's order: what had been written down by known and happened by at.
// An amendment is listed with the entry that it amends, whenever it was made.
func read(entries []*entry.Entry, records *entry.Records, at, known time.Time) []listed {
	fate := map[string]listed{} // by id, of originals
	hide := map[string]bool{}   // by infant
	for _, r := range append(slices.Clone(records.Infants), records.Unit) {
		for _, s := range r.Entries {
			if s.At.After(at) {
				continue
			}
			l := listed{standing: stands}
			if s.Correction != nil {
				l = listed{standing: corrected, by: s.Correction.ID}
			}
			fate[s.ID] = l
			if s.Kind == "identity" && s.Has("restricted") {
				hide[r.Infant] = s.Flag("restricted") // the latest rules
			}
		}
		for _, e := range r.Withdrawn {
			if !e.At.After(at) {
				fate[e.ID] = listed{standing: retracted}
			}
		}
	}
	amend(entries, known, fate)
	out := make([]listed, 0, len(fate))
	for _, e := range entries {
		l, ok := fate[e.ID]
		if !ok || e.Charted.After(known) {
			continue
		}
		l.Entry, l.hideNames = e, hide[e.Infant]
		out = append(out, l)
	}
	slices.SortFunc(out, func(a, b listed) int { return entry.Order(a.Entry, b.Entry) })
	return out
}

// amend adds how corrections and retractions stand.
func amend(entries []*entry.Entry, known time.Time, fate map[string]listed) {
	var corrections, retractions []*entry.Entry
	for _, e := range entries {
		switch {
		case e.Charted.After(known):
		case e.Kind == "correction":
			corrections = append(corrections, e)
		case e.Kind == "retraction":
			retractions = append(retractions, e)
		}
	}
	for _, e := range corrections {
		of := e.Reference("of")
		original, ok := fate[of]
		if !ok {
			continue
		}
		l := listed{standing: replaced, by: of}
		switch {
		case original.standing == retracted:
			l.standing = ofRetracted
		case original.by == e.ID:
			l.standing = holds
		}
		fate[e.ID] = l
	}
	slices.SortFunc(retractions, entry.Order)
	for _, e := range retractions {
		of := e.Reference("of")
		amended, ok := fate[of]
		if !ok {
			continue
		}
		fate[e.ID] = listed{standing: holds, by: of}
		if amended.standing != retracted || amended.by == "" { // of two retractions the first is named
			fate[of] = listed{standing: retracted, by: e.ID}
		}
	}
}
