package fhir

import (
	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// entryLines tells which entries are carried on resources of their own.
func (d *document) entryLines(p *page) {
	for _, r := range d.x.Resources {
		if m, ok := r.model.body.(*r4.Basic); ok {
			p.line(textOf(&m.Code), pair("charted", of(m.Created)), pair("by", of(m.Author.Display)))
		}
	}
}
