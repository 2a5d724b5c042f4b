package r4

import (
	"strings"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

func narrateTask(m *models.Task, status string) *models.Narrative {
	p := NewProse()
	p.Line(TextOf(m.Code), StringOf(m.Description), status, TextOf(m.StatusReason))
	if r := m.Restriction; r != nil {
		p.Line(Pair("due", StringOf(r.Period.Start)), Pair("overdue from", StringOf(r.Period.End)))
	}
	if m.ExecutionPeriod != nil {
		p.Line(Pair("done", StringOf(m.ExecutionPeriod.End)))
	}
	by := ""
	if m.Requester != nil {
		by = StringOf(m.Requester.Display)
	}
	if said := saidCharted(m.LastModified, by, m.Note); len(said) == 1 {
		p.Line(said...)
	} else {
		p.Line(Pair("by", by), StringOf(m.LastModified))
	}
	notes(p, m.Note)
	return p.Done()
}

func narrateFlag(m *models.Flag, status string) *models.Narrative {
	p := NewProse()
	p.Line(TextOf(&m.Code), saidPeriod(m.Period), status)
	return p.Done()
}

func narrateEncounter(m *models.Encounter, status string) *models.Narrative {
	p := NewProse()
	p.Line("Stay", saidPeriod(m.Period), status)
	for _, l := range m.Location {
		p.Line(Pair(Bed.Text, StringOf(l.Location.Display)), saidPeriod(l.Period))
	}
	if h := m.Hospitalization; h != nil {
		p.Line(Pair("left to", strings.TrimSpace(TextOf(h.DischargeDisposition))))
	}
	return p.Done()
}

func narrateLocation(m *models.Location) *models.Narrative {
	p := NewProse()
	p.Line(Pair(TextOf(m.PhysicalType), StringOf(m.Name)))
	return p.Done()
}

func narratePractitioner(m *models.Practitioner) *models.Narrative {
	p := NewProse()
	for _, n := range m.Name {
		p.Line(StringOf(n.Text), Pair("staff key", StringOf(m.Identifier[0].Value)))
	}
	return p.Done()
}

func narrateMetric(m *models.DeviceMetric) *models.Narrative {
	p := NewProse()
	for _, c := range m.Calibration {
		p.Line(TextOf(&m.Type), c.State.Code(), Pair("checked", StringOf(c.Time)))
	}
	if m.OperationalStatus != nil {
		p.Line(m.OperationalStatus.Code())
	}
	return p.Done()
}

func narrateProvenance(m *models.Provenance) *models.Narrative {
	p := NewProse()
	by := ""
	for _, a := range m.Agent {
		by = StringOf(a.Who.Display)
	}
	p.Line(TextOf(m.Activity), m.Recorded, Pair("by", by))
	for _, r := range m.Reason {
		p.Line(TextOf(&r))
	}
	return p.Done()
}

func narrateComposition(m *models.Composition) *models.Narrative {
	p := NewProse()
	p.Line(m.Title)
	p.Line(Caution)
	return p.Done()
}

func narrateBasic(m *models.Basic) *models.Narrative {
	p := NewProse()
	p.Line(TextOf(&m.Code), Pair("charted", StringOf(m.Created)), Pair("by", StringOf(m.Author.Display)))
	return p.Done()
}

func narrateAudit(m *models.AuditEvent) *models.Narrative {
	p := NewProse()
	what := StringOf(m.Type.Display)
	for _, s := range m.Subtype {
		what += " " + StringOf(s.Display)
	}
	p.Line(what, m.Recorded, StringOf(m.OutcomeDesc))
	for _, a := range m.Agent {
		p.Line(Pair("by", StringOf(a.AltId)+StringOf(a.Name)))
	}
	return p.Done()
}
