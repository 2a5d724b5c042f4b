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
	if i.leaves(handover.LeaveIndices) {
		return
	}
	if i.computedAt == nil {
		i.computedAt = i.indicesOver(i.entries)
	}
	found, ok := i.computedAt[e.ID]
	if !ok {
		return
	}
	told := i.toldBefore(e)
	fio2, pressure := i.standing(found.FiO2), i.standing(found.Pressure)
	i.computed(e, "index.sf", r4.RatioSF, indexSF, &found.Indices, told, r4.Ratio, fio2)
	i.computed(e, "index.severity", r4.Severity, indexSeverity, &found.Indices, told, r4.Index, fio2, pressure)
	i.computed(e, "index.osi", r4.OSI, indexOSI, &found.Indices, told, r4.Index, fio2, pressure)
}

// indexOf is one of the indices.
type indexOf func(*handover.Indices) *entry.Decimal

func indexSF(x *handover.Indices) *entry.Decimal       { return x.SF.Value }
func indexSeverity(x *handover.Indices) *entry.Decimal { return x.Severity.Value }
func indexOSI(x *handover.Indices) *entry.Decimal      { return x.OSI.Value }

func (i *infant) computed(e *entry.Standing, role string, code r4.Concept, of indexOf, found *handover.Indices,
	told []indicesThen, u r4.Unit, set ...*entry.Standing) {
	v := of(found)
	if v == nil {
		return
	}
	f := fact{role: role, anew: change{anew(of, told), computedAnew}, category: r4.Therapy, code: i.codes.Concept(code),
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

// indicesOver reads the entries of a stay at each of its readings of SpO2.
func (i *infant) indicesOver(entries []*entry.Standing) map[string]handover.IndicesAt {
	var readings []*entry.Entry
	for _, e := range entries {
		if e.Kind == "observations" && e.Has("spo2Percent") {
			readings = append(readings, e.Entry)
		}
	}
	return handover.IndicesOver(i.policy, i.settle(entries), readings)
}

// settle keeps what indices stand on of the entries of a stay: from them, its spells
// and settings. What was charted between birth and admission is of the stay too.
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
