package fhir

import r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

// finishDefinition gives a definition its id and a narrative of what it says.
func (r *Resource) finishDefinition(meta *r4.Meta) bool {
	d, ok := definitionOf(r.model)
	if !ok {
		return false
	}
	page := newPage()
	page.line(d.title)
	page.line(d.says)
	switch m := r.model.body.(type) {
	case *r4.ImplementationGuide:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.done()
	case *r4.StructureDefinition:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.done()
	case *r4.ConceptMap:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.done()
	case *r4.CapabilityStatement:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.done()
	}
	return true
}

func definitionOf(r *resource) (defined, bool) {
	switch m := r.body.(type) {
	case *r4.CodeSystem:
		return defined{of(m.Url), of(m.Title), of(m.Description)}, true
	case *r4.ValueSet:
		return defined{of(m.Url), of(m.Title), of(m.Description)}, true
	case *r4.ConceptMap:
		return defined{of(m.Url), of(m.Title), of(m.Description)}, true
	case *r4.StructureDefinition:
		return defined{m.Url, of(m.Title), of(m.Description)}, true
	case *r4.ImplementationGuide:
		return defined{m.Url, of(m.Title), of(m.Description)}, true
	case *r4.CapabilityStatement:
		return defined{of(m.Url), of(m.Title), of(m.Description)}, true
	}
	return defined{}, false
}

// defined is what every definition says of itself.
type defined struct{ url, title, says string }

func narrateCodes(c *r4.CodeSystem) *r4.Narrative {
	p := newPage()
	p.line(of(c.Title))
	p.line(of(c.Description))
	p.b.WriteString("<table>")
	for _, x := range c.Concept {
		p.row(x.Code, of(x.Display), of(x.Definition))
	}
	p.b.WriteString("</table>")
	return p.done()
}

func narrateValueSet(v *r4.ValueSet) *r4.Narrative {
	p := newPage()
	p.line(of(v.Title))
	p.b.WriteString("<table>")
	for _, in := range v.Compose.Include {
		for _, x := range in.Concept {
			p.row(x.Code, of(x.Display))
		}
	}
	p.b.WriteString("</table>")
	return p.done()
}
