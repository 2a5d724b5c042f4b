package r4

import (
	"strconv"
	"strings"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

func narrateObservation(o *models.Observation, status string) *models.Narrative {
	p := NewProse()
	what := TextOf(&o.Code)
	if v := saidValue(o.ValueQuantity, o.ValueCodeableConcept, o.ValueString, o.ValueBoolean, o.ValueInteger,
		o.DataAbsentReason); v != "" {
		what = Pair(what, v)
	}
	p.Line(what, Pair("site", TextOf(o.BodySite)), Pair("method", TextOf(o.Method)))
	if len(o.Component) > 0 {
		p.b.WriteString("<ul>")
		for _, c := range o.Component {
			p.b.WriteString("<li>" + escaped(Pair(TextOf(&c.Code), saidValue(c.ValueQuantity, c.ValueCodeableConcept, c.ValueString,
				c.ValueBoolean, c.ValueInteger, c.DataAbsentReason))) + "</li>")
		}
		p.b.WriteString("</ul>")
	}
	when := o.EffectiveDateTime
	if o.EffectivePeriod != nil {
		when = Ptr(saidPeriod(o.EffectivePeriod))
	}
	p.Line(append([]string{StringOf(when)}, append(saidCharted(o.Issued, displays(o.Performer), o.Note), said(status))...)...)
	notes(p, o.Note)
	return p.Done()
}

func narrateUse(d *models.DeviceUseStatement, status string) *models.Narrative {
	p := NewProse()
	p.Line(Pair("In use", saidPeriod(d.TimingPeriod)), Pair("site", TextOf(d.BodySite)))
	by := ""
	if d.Source != nil {
		by = StringOf(d.Source.Display)
	}
	p.Line(append(saidCharted(d.RecordedOn, by, d.Note), status)...)
	notes(p, d.Note)
	return p.Done()
}

func narrateDevice(d *models.Device, status string) *models.Narrative {
	p := NewProse()
	parts := []string{TextOf(d.Type)}
	for _, x := range d.Property {
		for _, q := range x.ValueQuantity {
			parts = append(parts, Pair(TextOf(&x.Type), saidQuantity(&q)))
		}
		for _, c := range x.ValueCode {
			parts = append(parts, Pair(TextOf(&x.Type), TextOf(&c)))
		}
	}
	if d.Patient == nil {
		for _, id := range d.Identifier {
			parts = append(parts, Pair("asset tag", StringOf(id.Value)))
		}
	}
	if status != Active {
		parts = append(parts, status)
	}
	p.Line(parts...)
	return p.Done()
}

func narratePatient(m *models.Patient) *models.Narrative {
	p := NewProse()
	for _, n := range m.Name {
		p.Line(strings.TrimSpace(strings.Join(n.Given, " ") + " " + StringOf(n.Family)))
	}
	for _, id := range m.Identifier {
		switch *id.Use {
		case models.IdentifierUseOfficial:
			p.Line(Pair(TextOf(id.Type), StringOf(id.Value)))
		case models.IdentifierUseTemp:
			p.Line(Pair("Temporary label", StringOf(id.Value)))
		}
	}
	if m.Active != nil && !*m.Active {
		p.Line("no longer in use: another Patient holds")
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
	p.Line(Pair("born", StringOf(m.BirthDate)), gender, birth)
	return p.Done()
}

func notes(p *Prose, all []models.Annotation) {
	for _, n := range all {
		by := ""
		if n.AuthorReference != nil {
			by = StringOf(n.AuthorReference.Display)
		}
		p.Line(n.Text, StringOf(n.Time), Pair("by", by))
	}
}

// said is a status that a reader must know of.
func said(status string) string {
	if status == Final {
		return ""
	}
	return status
}

func displays(refs []models.Reference) string {
	var out []string
	for _, r := range refs {
		out = append(out, StringOf(r.Display))
	}
	return strings.Join(out, ", ")
}

func saidValue(q *models.Quantity, c *models.CodeableConcept, s *string, b *bool, n *int, absent *models.CodeableConcept) string {
	switch {
	case q != nil:
		return saidQuantity(q)
	case c != nil:
		return TextOf(c)
	case s != nil:
		return *s
	case b != nil && *b:
		return "yes"
	case b != nil:
		return "no"
	case n != nil:
		return strconv.Itoa(*n)
	}
	return TextOf(absent)
}

// saidCharted says when and by whom something was charted. Where a note says that
// somebody else took it back at that moment, or made it another, it says only who had
// charted it.
func saidCharted(at *string, by string, notes []models.Annotation) []string {
	for _, n := range notes {
		other := n.AuthorReference == nil || StringOf(n.AuthorReference.Display) != by
		if n.Time != nil && *n.Time == StringOf(at) && (other || strings.HasPrefix(n.Text, TakenBack) ||
			strings.HasPrefix(n.Text, CorrectionTaken)) {
			return []string{Pair("charted by", by)}
		}
	}
	return []string{Pair("charted", StringOf(at)), Pair("by", by)}
}

func saidQuantity(q *models.Quantity) string { return q.Value.String() + " " + StringOf(q.Unit) }

func saidPeriod(p *models.Period) string {
	if p.End == nil {
		return "since " + StringOf(p.Start)
	}
	return StringOf(p.Start) + " to " + StringOf(p.End)
}

// The texts that begin the reason why an entry, or a correction of it, was taken back.
const (
	TakenBack       = "Withdrawn: "
	CorrectionTaken = "Correction withdrawn: "
)
