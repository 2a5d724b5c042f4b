package fhir

import (
	"cotline/handover"
)

// indices yields, at a reading of SpO2, what the engine computes from it and the
// values set then. Each takes its identity from the reading, and is derived from
// the Observations that it was computed from.
func (i *infant) indices(e *handover.Standing) {
	found := i.summaryAt(e)
	if found == nil || found.Indices.Value == nil || found.Indices.Value.Entry != e.ID {
		return
	}
	set := map[string]*handover.Standing{}
	for _, s := range found.Settings {
		if s.Fact != nil {
			set[s.Field] = i.standing(s.Fact.Entry)
		}
	}
	fio2, pressure := set["fio2Percent"], set["pressureCmH2O"]
	i.computed(e, "index.sf", ratioSF, found.Indices.Value.SF, ratio, fio2)
	i.computed(e, "index.severity", severity, found.Indices.Value.Severity, index, fio2, pressure)
	i.computed(e, "index.osi", osi, found.Indices.Value.OSI, index, fio2, pressure)
}

func (i *infant) computed(e *handover.Standing, role string, code concept, v handover.Maybe[handover.Decimal], u unit, set ...*handover.Standing) {
	if v.Value == nil {
		return
	}
	f := fact{role: role, category: therapy, code: i.codes.concept(code), value: measured(v.Value.String(), u)}
	if code.code != severity.code {
		f.derived = append(f.derived, i.idOf(e, "spo2Percent"))
	}
	if len(set) > 1 {
		f.method = i.codes.concept(setCPAP)
	}
	for n, field := range []string{"fio2Percent", "pressureCmH2O"}[:len(set)] {
		f.derived = append(f.derived, i.idOf(set[n], field))
	}
	i.observe(e, f, set...)
}

func (i *infant) standing(id string) *handover.Standing {
	for _, e := range i.entries {
		if e.ID == id {
			return e
		}
	}
	return nil
}

// summaryAt reads the infant at the moment of a reading of SpO2, of this one if
// there are others: from it, the stay, its spells and settings, for indices stand
// on nothing else. What was charted between birth and admission is of the stay too.
func (i *infant) summaryAt(e *handover.Standing) *handover.Summary {
	if i.settled == nil {
		for n, s := range i.entries {
			if s.Kind == "support" && s.Text("state") == "stopped" && i.resumed(n) {
				continue // a break: the spell has gone on, and readings in it are of it
			}
			switch s.Kind {
			case "admission":
				began := *s.Entry
				began.At = i.entries[0].At
				i.settled = append(i.settled, &began)
			case "support", "settings", "discharge":
				i.settled = append(i.settled, s.Entry)
			}
		}
	}
	ward := handover.Ward{Entries: append(i.settled[:len(i.settled):len(i.settled)], e.Entry), Policy: i.policy}
	for _, s := range handover.Compile(ward, e.At.Time, i.ask.Known, e.At.Time).Infants {
		return s
	}
	return nil
}

// resumed says whether the stop that is entry n proved a break.
func (i *infant) resumed(n int) bool {
	for _, e := range i.entries[n+1:] {
		if e.Kind == "support" && e.Text("state") == "started" {
			return i.withinBreak(i.entries[n].At.Time, e.At.Time)
		}
	}
	return false
}
