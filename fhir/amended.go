package fhir

import (
	"cmp"
	"slices"
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover/entry"
)

// amendments are what was written down by known about each entry after it, by the
// original's id: its corrections and retractions, and the retractions of its
// corrections; by when they were charted, then by id.
func amendments(entries []*entry.Entry, known time.Time) map[string][]*entry.Entry {
	original := map[string]string{} // of a correction
	var all []*entry.Entry
	for _, e := range entries {
		if e.Charted.After(known) {
			continue
		}
		switch e.Kind {
		case "correction":
			original[e.ID] = e.Reference("of")
			all = append(all, e)
		case "retraction":
			all = append(all, e)
		}
	}
	slices.SortFunc(all, func(a, b *entry.Entry) int {
		return cmp.Or(a.Charted.Compare(b.Charted.Time), cmp.Compare(a.ID, b.ID))
	})
	of := map[string][]*entry.Entry{}
	for _, e := range all {
		id := e.Reference("of")
		id = cmp.Or(original[id], id)
		of[id] = append(of[id], e)
	}
	return of
}

// revived is the latest retraction that took a later correction away, so that what
// stands of an entry stands again; nil where none did. A receiver held the later
// version: it is told by one that is later still, never by an older one.
func (i *infant) revived(e *entry.Standing) *entry.Entry {
	gone := map[string]bool{} // corrections that would hold before the one that does
	var last *entry.Entry
	for _, a := range i.amended[e.ID] {
		switch {
		case a.Kind == "correction":
			gone[a.ID] = e.Correction == nil || a.Charted.After(e.Correction.Charted.Time) || a.Charted.Equal(e.Correction.Charted.Time) && a.ID > e.Correction.ID
		case gone[a.Reference("of")]:
			last = a
		}
	}
	return last
}

// version is since when what stands of an entry stands, and who charted it.
func (i *infant) version(e *entry.Standing) (since entry.Moment, by string) {
	since, by = version(e)
	if r := i.revived(e); r != nil {
		since = r.Charted
	}
	return since, by
}

// why says what an entry was corrected by, and that a later correction was taken
// back; nothing where it stands as it was first charted.
func (i *infant) why(e *entry.Standing) []r4.Annotation {
	var out []r4.Annotation
	if e.Correction != nil {
		out = append(out, i.amendedBy(e.Correction))
	}
	if r := i.revived(e); r != nil {
		note := i.amendedBy(r)
		note.Text = correctionTaken + r.Text("reason")
		out = append(out, note)
	}
	return out
}

// What begins the reason why an entry, or a correction of it, was taken back.
const (
	takenBack       = "Withdrawn: "
	correctionTaken = "Correction withdrawn: "
)

// amendedBy says by whom, when and why something was corrected or withdrawn.
func (b *builder) amendedBy(e *entry.Entry) r4.Annotation {
	text := "Corrected: "
	if e.Kind == "retraction" {
		text = takenBack
	}
	return r4.Annotation{AuthorReference: b.staff(e.By), Time: ptr(dateTime(e.Charted)), Text: text + e.Text("reason")}
}
