package r4

import models "github.com/samply/golang-fhir-models/fhir-models/fhir"

// finishDefinition gives a definition its id and a narrative of what it says.
func (r *Resource) finishDefinition(meta *models.Meta) bool {
	d, ok := DefinitionOf(r.Model)
	if !ok {
		return false
	}
	page := NewProse()
	page.Line(d.Title)
	page.Line(d.says)
	switch m := r.Model.Body.(type) {
	case *models.ImplementationGuide:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.Done()
	case *models.StructureDefinition:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.Done()
	case *models.ConceptMap:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.Done()
	case *models.CapabilityStatement:
		m.Id, m.Meta, m.Text = &r.ID, meta, page.Done()
	}
	return true
}

// DefinitionOf is what a definition says of itself: its URL, version, title and description;
// false of what is none.
func DefinitionOf(r *Model) (defined, bool) {
	switch m := r.Body.(type) {
	case *models.CodeSystem:
		return defined{StringOf(m.Url), StringOf(m.Version), StringOf(m.Title), StringOf(m.Description)}, true
	case *models.ValueSet:
		return defined{StringOf(m.Url), StringOf(m.Version), StringOf(m.Title), StringOf(m.Description)}, true
	case *models.ConceptMap:
		return defined{StringOf(m.Url), StringOf(m.Version), StringOf(m.Title), StringOf(m.Description)}, true
	case *models.StructureDefinition:
		return defined{m.Url, StringOf(m.Version), StringOf(m.Title), StringOf(m.Description)}, true
	case *models.ImplementationGuide:
		return defined{m.Url, StringOf(m.Version), StringOf(m.Title), StringOf(m.Description)}, true
	case *models.CapabilityStatement:
		return defined{StringOf(m.Url), StringOf(m.Version), StringOf(m.Title), StringOf(m.Description)}, true
	}
	return defined{}, false
}

// defined is what every definition says of itself.
type defined struct{ URL, Version, Title, says string }

func narrateCodes(c *models.CodeSystem) *models.Narrative {
	p := NewProse()
	p.Line(StringOf(c.Title))
	p.Line(StringOf(c.Description))
	if len(c.Concept) == 0 { // a unit without lists
		return p.Done()
	}
	p.b.WriteString("<table>")
	for _, x := range c.Concept {
		p.row(x.Code, StringOf(x.Display), StringOf(x.Definition))
	}
	p.b.WriteString("</table>")
	return p.Done()
}

func narrateValueSet(v *models.ValueSet) *models.Narrative {
	p := NewProse()
	p.Line(StringOf(v.Title))
	p.b.WriteString("<table>")
	for _, in := range v.Compose.Include {
		for _, x := range in.Concept {
			p.row(x.Code, StringOf(x.Display))
		}
	}
	p.b.WriteString("</table>")
	return p.Done()
}
