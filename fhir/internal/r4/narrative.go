package r4

import (
	"bytes"
	"strings"
	"sync"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover/entry"
)

// The narrative of a resource is made from its elements and from nothing else, so that
// it says what the data say. Its text is escaped for XML first, then for JSON; no
// direction mark of a charted word turns what stands beside it.

// Prose collects the lines of a narrative.
type Prose struct{ b bytes.Buffer }

// proses are those that are done: how long one becomes is known in the end.
var proses = sync.Pool{New: func() any { return new(Prose) }}

// NewProse begins a narrative.
func NewProse() *Prose {
	p := proses.Get().(*Prose)
	p.b.Reset()
	p.b.WriteString(`<div xmlns="` + xhtml + `">`)
	return p
}

// Line adds a paragraph of what is there, parts joined by a comma.
func (p *Prose) Line(parts ...string) {
	before := "<p>"
	for _, s := range parts {
		if s != "" {
			p.b.WriteString(before)
			p.b.WriteString(escaped(s))
			before = ", "
		}
	}
	if before == ", " {
		p.b.WriteString("</p>")
	}
}

// Strong adds a paragraph that must not be overlooked.
func (p *Prose) Strong(line string) { p.b.WriteString("<p><b>" + escaped(line) + "</b></p>") }

// Done ends the narrative. Nothing may be added after it.
func (p *Prose) Done() *models.Narrative {
	p.b.WriteString("</div>")
	defer proses.Put(p)
	return &models.Narrative{Status: models.NarrativeStatusGenerated, Div: p.b.String()}
}

var xmlEscapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", "\r\n", "<br/>", "\n", "<br/>", "\r", "<br/>")

func escaped(s string) string {
	s = entry.Undirected(s)
	if !strings.ContainsAny(s, "&<>\r\n") { // the replacer looks at each byte of a text by a tree
		return s
	}
	return xmlEscapes.Replace(s)
}

// Pair is "name: value": the value alone without a name, nothing without a value.
func Pair(name, value string) string {
	switch {
	case value == "":
		return ""
	case name == "":
		return value
	}
	return name + ": " + value
}

func (p *Prose) row(cells ...string) {
	p.b.WriteString("<tr>")
	for _, c := range cells {
		p.b.WriteString("<td>" + escaped(c) + "</td>")
	}
	p.b.WriteString("</tr>")
}
