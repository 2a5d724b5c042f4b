package fhir

import (
	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"
)

// indices yields what the engine computes from a reading of SpO2 and the values that
// were set then. Each index takes its id from the reading, and says from which
// Observations it was derived.
func (i *infant) indices(e *entry.Standing) {
	found := i.summaryAt(e)
	if found == nil || found.Indices.Value == nil || found.Indices.Value.Entry != e.ID {
		return
	}
	set := map[string]*entry.Standing{}
	for _, s := range found.Settings {
		if s.Fact != nil {
			set[s.Field] = i.standing(s.Fact.Entry)
		}
	}
	fio2, pressure := set["fio2Percent"], set["pressureCmH2O"]
	told := i.toldBefore(e)
	i.computed(e, "index.sf", r4.RatioSF, indexSF, found, told, r4.Ratio, fio2)
	i.computed(e, "index.severity", r4.Severity, indexSeverity, found, told, r4.Index, fio2, pressure)
	i.computed(e, "index.osi", r4.OSI, indexOSI, found, told, r4.Index, fio2, pressure)
}

// indexOf is one of the indices.
type indexOf func(*handover.Indices) *entry.Decimal

func indexSF(x *handover.Indices) *entry.Decimal       { return x.SF.Value }
func indexSeverity(x *handover.Indices) *entry.Decimal { return x.Severity.Value }
func indexOSI(x *handover.Indices) *entry.Decimal      { return x.OSI.Value }

func (i *infant) computed(e *entry.Standing, role string, code r4.Concept, of indexOf, found *handover.Summary, told []reading, u r4.Unit,
	set ...*entry.Standing) {
	v := of(found.Indices.Value)
	if v == nil {
		return
	}
	f := fact{role: role, anew: another{anew(of, told), computedAnew}, category: r4.Therapy, code: i.codes.Concept(code),
		value: r4.Measured(v.String(), u)}
	if code.Code != r4.Severity.Code {
		f.derived = append(f.derived, i.idOf(e, "spo2Percent"))
	}
	if len(set) > 1 {
		f.method = i.codes.Concept(r4.SetCPAP)
	}
	for n, field := range []string{"fio2Percent", "pressureCmH2O"}[:len(set)] {
		f.derived = append(f.derived, i.idOf(set[n], field))
	}
	i.observe(e, f, set...)
}

func (i *infant) standing(id string) *entry.Standing {
	for _, e := range i.entries {
		if e.ID == id {
			return e
		}
	}
	return nil
}

// summaryAt reads the infant at the moment of a reading of SpO2, from this reading
// where there are several of that moment. It needs no other entries than the stay, its
// spells and the settings, because indices stand on nothing else. What was charted
// between birth and admission is of the stay too.
func (i *infant) summaryAt(e *entry.Standing) *handover.Summary {
	if i.settled == nil {
		i.settled = i.settle(i.entries)
	}
	return i.read(i.settled, e)
}

func (i *infant) read(settled []*entry.Entry, e *entry.Standing) *handover.Summary {
	ward := handover.Ward{Entries: append(settled[:len(settled):len(settled)], e.Entry), Policy: i.policy}
	for _, s := range handover.Compile(ward, e.At.Time, i.ask.Known, e.At.Time).Infants {
		return s
	}
	return nil
}

// settle keeps those entries of a stay that indices stand on.
func (i *infant) settle(entries []*entry.Standing) (settled []*entry.Entry) {
	for n, s := range entries {
		if s.Kind == "support" && s.Text("state") == "stopped" && i.resumed(entries[n:]) {
			continue // a break: the spell has gone on, and readings in it are of it
		}
		switch s.Kind {
		case "admission":
			began := *s.Entry
			began.At = entries[0].At
			settled = append(settled, &began)
		case "support", "settings", "discharge":
			settled = append(settled, s.Entry)
		}
	}
	return settled
}

// resumed says whether the stop that these entries begin with turned out to be a break.
func (i *infant) resumed(entries []*entry.Standing) bool {
	for _, e := range entries[1:] {
		if e.Kind == "support" && e.Text("state") == "started" {
			return i.withinBreak(entries[0].At.Time, e.At.Time)
		}
	}
	return false
}
