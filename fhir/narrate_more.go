package fhir

import (
	"strings"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

func narrateTask(m *r4.Task, status string) *r4.Narrative {
	p := newPage()
	p.line(textOf(m.Code), of(m.Description), status, textOf(m.StatusReason))
	if r := m.Restriction; r != nil {
		p.line(pair("due", of(r.Period.Start)), pair("overdue from", of(r.Period.End)))
	}
	if m.ExecutionPeriod != nil {
		p.line(pair("done", of(m.ExecutionPeriod.End)))
	}
	by := ""
	if m.Requester != nil {
		by = of(m.Requester.Display)
	}
	if said := saidCharted(m.LastModified, by, m.Note); len(said) == 1 {
		p.line(said...)
	} else {
		p.line(pair("by", by), of(m.LastModified))
	}
	notes(p, m.Note)
	return p.done()
}

func narrateFlag(m *r4.Flag, status string) *r4.Narrative {
	p := newPage()
	p.line(textOf(&m.Code), saidPeriod(m.Period), status)
	return p.done()
}

func narrateEncounter(m *r4.Encounter, status string) *r4.Narrative {
	p := newPage()
	p.line("Stay", saidPeriod(m.Period), status)
	for _, l := range m.Location {
		p.line(pair(bed.text, of(l.Location.Display)), saidPeriod(l.Period))
	}
	if h := m.Hospitalization; h != nil {
		p.line(pair("left to", strings.TrimSpace(textOf(h.DischargeDisposition))))
	}
	return p.done()
}

func narrateLocation(m *r4.Location) *r4.Narrative {
	p := newPage()
	p.line(pair(textOf(m.PhysicalType), of(m.Name)))
	return p.done()
}

func narratePractitioner(m *r4.Practitioner) *r4.Narrative {
	p := newPage()
	for _, n := range m.Name {
		p.line(of(n.Text), pair("staff key", of(m.Identifier[0].Value)))
	}
	return p.done()
}

func narrateMetric(m *r4.DeviceMetric) *r4.Narrative {
	p := newPage()
	for _, c := range m.Calibration {
		p.line(textOf(&m.Type), c.State.Code(), pair("checked", of(c.Time)))
	}
	if m.OperationalStatus != nil {
		p.line(m.OperationalStatus.Code())
	}
	return p.done()
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

func narrateBasic(m *r4.Basic) *r4.Narrative {
	p := newPage()
	p.line(textOf(&m.Code), pair("charted", of(m.Created)), pair("by", of(m.Author.Display)))
	return p.done()
}
