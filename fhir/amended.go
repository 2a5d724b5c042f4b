package fhir

import (
	"cmp"
	"slices"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// amendments are the corrections and retractions of each entry, and the retractions of
// its corrections, that were written down by known: by the original's id, in the order
// of when they were charted, then of their ids.
func amendments(entries []*entry.Entry, known time.Time) map[string][]*entry.Entry {
	var all []*entry.Entry
	for _, e := range entries {
		if e.Amends() && !e.Charted.After(known) {
			all = append(all, e)
		}
	}
	slices.SortFunc(all, func(a, b *entry.Entry) int {
		return cmp.Or(a.Charted.Compare(b.Charted.Time), cmp.Compare(a.ID, b.ID))
	})
	return entry.Amendments(all)
}

// revived is the latest retraction that took a later correction away, nil where none
// did. It makes the version before hold again: a receiver has the later one, so what
// holds is sent to it as a version that is later still, never as an older one.
func (i *infant) revived(e *entry.Standing) *entry.Entry {
	gone := map[string]bool{} // corrections that would hold before the one that does
	var last *entry.Entry
	for _, a := range i.amended[e.ID] {
		switch {
		case a.Kind == "correction":
			gone[a.ID] = e.Correction == nil || a.Charted.After(e.Correction.Charted.Time) ||
				a.Charted.Equal(e.Correction.Charted.Time) && a.ID > e.Correction.ID
		case gone[a.Reference("of")]:
			last = a
		}
	}
	return last
}

// version says since when the entry has read as it does now, and who charted that.
func (i *infant) version(e *entry.Standing) (since entry.Moment, by string) {
	since, by = version(e)
	if r := i.revived(e); r != nil {
		since = r.Charted
	}
	return since, by
}

// why says what an entry was corrected by, and whether a later correction was taken
// back. It is empty where the entry stands as it was first charted.
func (i *infant) why(e *entry.Standing) []models.Annotation {
	var out []models.Annotation
	if e.Correction != nil {
		out = append(out, i.amendedBy(e.Correction))
	}
	if r := i.revived(e); r != nil {
		note := i.amendedBy(r)
		note.Text = r4.CorrectionTaken + r.Text("reason")
		out = append(out, note)
	}
	return out
}

// amendedBy says who corrected or withdrew something, when, and why.
func (b *builder) amendedBy(e *entry.Entry) models.Annotation {
	text := "Corrected: "
	if e.Kind == "retraction" {
		text = r4.TakenBack
	}
	return models.Annotation{AuthorReference: b.staff(e.By), Time: r4.Ptr(r4.DateTime(e.Charted)), Text: text + e.Text("reason")}
}

// version says when the version of an entry that holds was charted, and by whom.
func version(e *entry.Standing) (charted entry.Moment, by string) {
	if e.Correction != nil {
		return e.Correction.Charted, e.Correction.By
	}
	return e.Charted, e.By
}

// amendingOf are the infant's entries of some kinds, and what amends them.
func (i *infant) amendingOf(kinds map[string]bool) []amending {
	own := i.builder.entries[i.record.Infant]
	byID := make(map[string]*entry.Entry, len(own))
	for _, x := range own {
		byID[x.ID] = x
	}
	root := func(x *entry.Entry) *entry.Entry {
		for range 2 { // a retraction may be of a correction
			if x != nil && x.Amends() {
				x = byID[x.Reference("of")]
			}
		}
		return x
	}
	first := map[*entry.Entry]time.Time{}
	for _, x := range own {
		of, at := root(x), x.Says().At.Time
		if t, ok := first[of]; !ok || at.Before(t) {
			first[of] = at
		}
	}
	out := []amending{}
	for _, x := range own {
		if of := root(x); of != nil && kinds[of.Kind] {
			out = append(out, amending{x, of.Kind, first[of]})
		}
	}
	return out
}
