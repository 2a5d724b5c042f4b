package fhir

import (
	"strconv"
	"strings"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

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

// said is a status that a reader must know of.
func said(status string) string {
	if status == final {
		return ""
	}
	return status
}

func displays(refs []r4.Reference) string {
	var out []string
	for _, r := range refs {
		out = append(out, of(r.Display))
	}
	return strings.Join(out, ", ")
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

func saidQuantity(q *r4.Quantity) string { return q.Value.String() + " " + of(q.Unit) }

func saidPeriod(p *r4.Period) string {
	if p.End == nil {
		return "since " + of(p.Start)
	}
	return of(p.Start) + " to " + of(p.End)
}

// What begins the reason why an entry, or a correction of it, was taken back.
const (
	takenBack       = "Withdrawn: "
	correctionTaken = "Correction withdrawn: "
)
