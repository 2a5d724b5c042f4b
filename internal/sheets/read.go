package sheets

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// listed is an entry of the record and how it stands in the reading.
type listed struct {
	*entry.Entry
	by        string // the id of what amends it, or of what it amends
	standing  fate
	hideNames bool
}

// fate is how an entry may stand.
type fate int8

const (
	stands fate = iota
	corrected
	retracted
	holds
	replaced
	ofRetracted
)

func (f fate) String() string {
	return [...]string{"stands", "corrected", "retracted", "holds", "replaced by a later correction", "of a retracted entry"}[f]
}

// read lists every entry of a reading in the record's order: what had been written down by known and happened by at.
// An amendment is listed with the entry that it amends, whenever it was made.
func read(entries []*entry.Entry, records *entry.Records, at, known time.Time) []listed {
	fates := map[string]listed{} // by id, of originals
	hide := map[string]bool{}    // by infant
	for _, r := range append(slices.Clone(records.Infants), records.Unit) {
		for _, s := range r.Entries {
			if s.At.After(at) {
				continue
			}
			l := listed{standing: stands}
			if s.Correction != nil {
				l = listed{standing: corrected, by: s.Correction.ID}
			}
			fates[s.ID] = l
			if s.Kind == "identity" && s.Has("restricted") {
				hide[r.Infant] = s.Flag("restricted") // the latest rules
			}
		}
		for _, e := range r.Withdrawn {
			if !e.At.After(at) {
				fates[e.ID] = listed{standing: retracted}
			}
		}
	}
	amend(entries, known, fates)
	out := make([]listed, 0, len(fates))
	for _, e := range entries {
		l, ok := fates[e.ID]
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
func amend(entries []*entry.Entry, known time.Time, fates map[string]listed) {
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
		original, ok := fates[of]
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
		fates[e.ID] = l
	}
	slices.SortFunc(retractions, entry.Order)
	for _, e := range retractions {
		of := e.Reference("of")
		amended, ok := fates[of]
		if !ok {
			continue
		}
		fates[e.ID] = listed{standing: holds, by: of}
		if amended.standing != retracted || amended.by == "" { // of two retractions the first is named
			fates[of] = listed{standing: retracted, by: e.ID}
		}
	}
}
