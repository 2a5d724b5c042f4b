package fhir

import (
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

func (p *page) len() int { return p.b.Len() }

func (p *page) done() *r4.Narrative {
	p.b.WriteString("</div>")
	return &r4.Narrative{Status: r4.NarrativeStatusGenerated, Div: p.b.String()}
}

var xmlEscapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\r\n", "<br/>", "\n", "<br/>", "\r", "<br/>")

func escaped(s string) string { return xmlEscapes.Replace(s) }

func pair(name, value string) string {
	switch {
	case value == "":
		return ""
	case name == "":
		return value
	}
	return name + ": " + value
}

func (p *page) row(cells ...string) {
	p.b.WriteString("<tr>")
	for _, c := range cells {
		p.b.WriteString("<td>" + escaped(c) + "</td>")
	}
	p.b.WriteString("</tr>")
}
