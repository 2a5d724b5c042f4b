package fhir

import (
	"strconv"
	"strings"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// The narrative of a resource is made from its own elements, never beside them,
// so that it says what the data say. Everything is escaped for XML first; the
// JSON escapes come after.

// page collects the lines of a narrative.
type page struct{ b strings.Builder }

func newPage() *page {
	p := &page{}
	p.b.WriteString(`<div xmlns="` + xhtml + `">`)
	return p
}

// line adds a paragraph of what is there, parts joined by a comma.
func (p *page) line(parts ...string) {
	said := parts[:0]
	for _, s := range parts {
		if s != "" {
			said = append(said, escaped(s))
		}
	}
	if len(said) > 0 {
		p.b.WriteString("<p>" + strings.Join(said, ", ") + "</p>")
	}
}

func (p *page) done() *r4.Narrative {
	p.b.WriteString("</div>")
	return &r4.Narrative{Status: r4.NarrativeStatusGenerated, Div: p.b.String()}
}

var xmlEscapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\r\n", "<br/>", "\n", "<br/>", "\r", "<br/>")

func escaped(s string) string { return xmlEscapes.Replace(s) }

func narrateObservation(o *r4.Observation, status string) *r4.Narrative {
	p := newPage()
	what := textOf(&o.Code)
	if v := saidValue(o.ValueQuantity, o.ValueCodeableConcept, o.ValueString, o.ValueBoolean, o.ValueInteger, o.DataAbsentReason); v != "" {
		what = pair(what, v)
	}
	p.line(what, pair("site", textOf(o.BodySite)), pair("method", textOf(o.Method)))
	if len(o.Component) > 0 {
		p.b.WriteString("<ul>")
		for _, c := range o.Component {
			p.b.WriteString("<li>" + escaped(pair(textOf(&c.Code), saidValue(c.ValueQuantity, c.ValueCodeableConcept, c.ValueString, c.ValueBoolean, c.ValueInteger, c.DataAbsentReason))) + "</li>")
		}
		p.b.WriteString("</ul>")
	}
	when := o.EffectiveDateTime
	if o.EffectivePeriod != nil {
		when = ptr(saidPeriod(o.EffectivePeriod))
	}
	p.line(append([]string{of(when)}, append(saidCharted(o.Issued, displays(o.Performer), o.Note), said(status))...)...)
	notes(p, o.Note)
	return p.done()
}

func narrateUse(d *r4.DeviceUseStatement, status string) *r4.Narrative {
	p := newPage()
	p.line(pair("In use", saidPeriod(d.TimingPeriod)), pair("site", textOf(d.BodySite)))
	by := ""
	if d.Source != nil {
		by = of(d.Source.Display)
	}
	p.line(append(saidCharted(d.RecordedOn, by, d.Note), status)...)
	notes(p, d.Note)
	return p.done()
}

func narrateDevice(d *r4.Device, status string) *r4.Narrative {
	p := newPage()
	parts := []string{textOf(d.Type)}
	for _, x := range d.Property {
		for _, q := range x.ValueQuantity {
			parts = append(parts, pair(textOf(&x.Type), saidQuantity(&q)))
		}
		for _, c := range x.ValueCode {
			parts = append(parts, pair(textOf(&x.Type), textOf(&c)))
		}
	}
	if d.Patient == nil {
		for _, id := range d.Identifier {
			parts = append(parts, pair("asset tag", of(id.Value)))
		}
	}
	if status != active {
		parts = append(parts, status)
	}
	p.line(parts...)
	return p.done()
}

func narratePatient(m *r4.Patient) *r4.Narrative {
	p := newPage()
	for _, n := range m.Name {
		p.line(strings.TrimSpace(strings.Join(n.Given, " ") + " " + of(n.Family)))
	}
	for _, id := range m.Identifier {
		switch *id.Use {
		case r4.IdentifierUseOfficial:
			p.line(pair(textOf(id.Type), of(id.Value)))
		case r4.IdentifierUseTemp:
			p.line(pair("Temporary label", of(id.Value)))
		}
	}
	gender, birth := "", ""
	if m.Gender != nil {
		gender = m.Gender.Code()
	}
	switch {
	case m.MultipleBirthInteger != nil:
		birth = "infant " + strconv.Itoa(*m.MultipleBirthInteger) + " of a multiple birth"
	case m.MultipleBirthBoolean != nil && *m.MultipleBirthBoolean:
		birth = "of a multiple birth"
	case m.MultipleBirthBoolean != nil:
		birth = "single birth"
	}
	p.line(pair("born", of(m.BirthDate)), gender, birth)
	return p.done()
}

func notes(p *page, all []r4.Annotation) {
	for _, n := range all {
		by := ""
		if n.AuthorReference != nil {
			by = of(n.AuthorReference.Display)
		}
		p.line(n.Text, of(n.Time), pair("by", by))
	}
}

// saidCharted says when and by whom something was charted. Where a note tells that at that
// moment another took it back, or made it another, it only says who had charted it.
func saidCharted(at *string, by string, notes []r4.Annotation) []string {
	for _, n := range notes {
		other := n.AuthorReference == nil || of(n.AuthorReference.Display) != by
		if n.Time != nil && *n.Time == of(at) && (other || strings.HasPrefix(n.Text, takenBack) || strings.HasPrefix(n.Text, correctionTaken)) {
			return []string{pair("charted by", by)}
		}
	}
	return []string{pair("charted", of(at)), pair("by", by)}
}

func pair(name, value string) string {
	switch {
	case value == "":
		return ""
	case name == "":
		return value
	}
	return name + ": " + value
}

// said is a status that a reader must know of.
func said(status string) string {
	if status == final {
		return ""
	}
	return status
}

func of(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

func textOf(c *r4.CodeableConcept) string {
	if c == nil {
		return ""
	}
	return of(c.Text)
}

func saidQuantity(q *r4.Quantity) string { return q.Value.String() + " " + of(q.Unit) }

func saidPeriod(p *r4.Period) string {
	if p.End == nil {
		return "since " + of(p.Start)
	}
	return of(p.Start) + " to " + of(p.End)
}

func saidValue(q *r4.Quantity, c *r4.CodeableConcept, s *string, b *bool, n *int, absent *r4.CodeableConcept) string {
	switch {
	case q != nil:
		return saidQuantity(q)
	case c != nil:
		return textOf(c)
	case s != nil:
		return *s
	case b != nil && *b:
		return "yes"
	case b != nil:
		return "no"
	case n != nil:
		return strconv.Itoa(*n)
	}
	return textOf(absent)
}

func displays(refs []r4.Reference) string {
	var out []string
	for _, r := range refs {
		out = append(out, of(r.Display))
	}
	return strings.Join(out, ", ")
}

func narrateProvenance(m *r4.Provenance) *r4.Narrative {
	p := newPage()
	by := ""
	for _, a := range m.Agent {
		by = of(a.Who.Display)
	}
	p.line(textOf(m.Activity), m.Recorded, pair("by", by))
	for _, r := range m.Reason {
		p.line(textOf(&r))
	}
	return p.done()
}

func narrateComposition(m *r4.Composition) *r4.Narrative {
	p := newPage()
	p.line(m.Title)
	p.line(caution)
	return p.done()
}

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

func (p *page) row(cells ...string) {
	p.b.WriteString("<tr>")
	for _, c := range cells {
		p.b.WriteString("<td>" + escaped(c) + "</td>")
	}
	p.b.WriteString("</tr>")
}
