package fhir

import (
	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// entryLines says in words which entries are carried on resources of their own.
func (d *document) entryLines(p *r4.Prose) {
	for _, r := range d.x.Resources {
		if m, ok := r.Model.Body.(*models.Basic); ok {
			p.Line(r4.TextOf(&m.Code), r4.Pair("charted", r4.StringOf(m.Created)), r4.Pair("by", r4.StringOf(m.Author.Display)))
		}
	}
}
