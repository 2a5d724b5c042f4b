package fhir

import (
	"strings"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// An index may be had no longer though its reading stands: support turned out to have
// stopped before it, or what was set then was withdrawn. Its Observation is withdrawn, and
// says by which entry.

// indexFields are the indices by the role under which a reading yields them.
var indexFields = map[string]indexOf{"index.sf": indexSF, "index.severity": indexSeverity, "index.osi": indexOSI}

// goneFor is why an index is gone: the entry by which it last ceased to be. Nil for what
// is no index.
func goneFor(r *r4.Resource, w handover.Ward, known time.Time) *models.Annotation {
	_, role, _ := strings.Cut(r.Identifier.Value, ".")
	of := indexFields[role]
	if of == nil {
		return nil
	}
	c, _ := assemble(w, Ask{At: entry.Forever, Known: known, Infant: r.Infant, all: true, ever: true})
	i := c.infants[r.Infant]
	if i == nil {
		return nil
	}
	for _, e := range i.record.Entries {
		if e.ID == r.Entry {
			return i.endedBy(i.toldBefore(e), of)
		}
	}
	return nil
}

// endedBy is the entry by which an index last ceased to be.
func (i *infant) endedBy(told []indicesThen, of indexOf) *models.Annotation {
	was := false
	var ended time.Time
	for _, r := range told {
		is := r.indices != nil && of(r.indices) != nil
		if was && !is {
			ended = r.known
		}
		was = is
	}
	for _, x := range i.settlingEntries() {
		if ended.IsZero() || !x.Charted.Equal(ended) {
			continue
		}
		note := i.amendedBy(x.Entry)
		note.Text = r4.TakenBack + indexGone + goneHow[x.Kind]
		if reason := x.Text("reason"); reason != "" && x.Amends() {
			note.Text += ": " + reason
		}
		return &note
	}
	return nil
}

const indexGone = "it can be computed no longer, for what it stood on was "

// goneHow says how an entry took away what an index stood on.
var goneHow = map[string]string{"correction": "corrected", "retraction": "withdrawn", "admission": "charted later",
	"support": "charted later", "settings": "charted later", "discharge": "charted later"}
