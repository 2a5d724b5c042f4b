package fhir

import (
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// A signed handover is one Composition: final, as the nurse signed it. When something
// of its time is written down later, the handover tells more, and the Composition
// becomes amended. Every version is a bundle with an identifier of its own, because R4
// lets Bundle.identifier name the same bundle wherever it is copied, and receivers go
// by it.

// later are the entries that were written down after a handover was signed, about what
// had happened by its moment. They are the infant's, the whole unit's, and those of
// other infants that conflicts and look-alikes are told by.
func (issue Edition) later(w handover.Ward, infant string) (later []*entry.Entry) {
	if issue.Signed == nil {
		return nil
	}
	byID := map[string]*entry.Entry{}
	for _, e := range w.Entries {
		byID[e.ID] = e
	}
	at := issue.Handover.At
	for _, e := range w.Entries {
		if !e.Charted.After(issue.Signed.Charted.Time) || e.Charted.After(issue.Handover.Known) {
			continue
		}
		of, happened := e, !e.At.After(at)
		for of.Amends() && byID[of.Reference("of")] != nil { // whose own at is not used
			happened = of.Corrected != nil && !of.Corrected.At.After(at)
			of = byID[of.Reference("of")]
			happened = happened || !of.Says().At.After(at)
		}
		tells := of.Infant == infant || of.Infant == "" || bounds[of.Kind] || of.Kind == "support"
		if happened && tells && of.Kind != "acceptance" {
			later = append(later, e)
		}
	}
	return later
}

// versionID is the name space of the version that tells these entries too.
func versionID(of uuid.UUID, entries []*entry.Entry) uuid.UUID {
	if len(entries) == 0 {
		return of
	}
	var ids []string
	for _, e := range entries {
		ids = append(ids, e.ID)
	}
	slices.Sort(ids)
	return r4.NamedID(of, "version\n"+strings.Join(ids, "\n"))
}

// version is the identifier of a bundle. It holds the version, and the digits of the
// record's chain that stand on paper, so that bundle and paper can be held against each
// other.
func (d *document) version(of uuid.UUID) string {
	if d.Chain == "" {
		return of.String()
	}
	return of.String() + "." + d.Chain[:12]
}

// written is when the last of what a document tells was written down. A signed handover
// is dated by it, so that a version has the same bytes whenever it is made.
func (d *document) written() time.Time {
	if d.Signed == nil {
		return d.Handover.Known
	}
	return latestOf(slices.Concat(d.added, []*entry.Entry{d.Signed}))
}

// assembled is the moment of the bundle; its acceptances count too.
func (d *document) assembled() time.Time {
	if last := latestOf(d.Accepted); last.After(d.written()) {
		return last
	}
	return d.written()
}

func latestOf(entries []*entry.Entry) (last time.Time) {
	for _, e := range entries {
		if e.Charted.After(last) {
			last = e.Charted.Time
		}
	}
	return last
}

// stay refers to the stay that a document is of, the last.
func (d *document) stay() (to *models.Reference) {
	for _, r := range d.held {
		if r.Type == "Encounter" {
			to = r4.Literal(r.Type, r.ID)
		}
	}
	return to
}
