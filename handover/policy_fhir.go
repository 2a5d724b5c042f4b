package handover

import (
	"net/url"
	"slices"
	"strings"

	"cotline/handover/entry"
)

func (d *policyDecoder) uri(v entry.Value, path string) string {
	s, ok := d.text(v, path, "an absolute URI")
	u, err := url.Parse(s)
	if ok && (err != nil || !u.IsAbs() || u.Host == "" && u.Opaque == "" || strings.ContainsAny(s, " |")) {
		d.add(v, path, entry.CodeFormat, "an absolute URI")
	}
	return s
}

func readURI(to func(*Policy) *string) reader {
	return func(d *policyDecoder, p *Policy, v entry.Value, path string) {
		*to(p) = strings.TrimRight(d.uri(v, path), "/")
	}
}

func readPatients(d *policyDecoder, p *Policy, v entry.Value, path string) {
	allowed := []string{"match", "conditional", "ours"}
	if v.Type != entry.TextValue || !slices.Contains(allowed, v.Text) {
		d.add(v, path, entry.CodeWord, "one of "+strings.Join(allowed, ", "))
	}
	p.FHIR.Patients = v.Text
}

func readIdentifier(of string) reader {
	return func(d *policyDecoder, p *Policy, v entry.Value, path string) {
		if !d.object(v, path, "system", "assigner") {
			return
		}
		p.FHIR.Identifiers[of] = Identifier{System: d.uri(within(v, "system"), path+".system"), Assigner: d.optional(v, path, "assigner")}
	}
}

func readOrganization(d *policyDecoder, p *Policy, v entry.Value, path string) {
	if d.object(v, path, "identifier", "name") {
		p.FHIR.Organization = Organization{d.optional(v, path, "identifier"), d.optional(v, path, "name")}
	}
}

// SendTypes are the resource types that a unit may name.
var SendTypes = []string{"Observation", "DeviceUseStatement", "Device", "Task", "Flag", "Provenance", "Composition", "Encounter",
	"Location", "Practitioner", "DeviceMetric", "Basic"}

func readSend(d *policyDecoder, p *Policy, v entry.Value, path string) {
	p.FHIR.Send = d.words(v, path, SendTypes)
}

// What fhir.leave may name.
const (
	LeaveIndices   = "indices"
	LeaveCares     = "cares"
	LeaveNarrative = "narrative"
)

func readLeave(d *policyDecoder, p *Policy, v entry.Value, path string) {
	p.FHIR.Leave = d.words(v, path, []string{LeaveIndices, LeaveCares, LeaveNarrative})
}

func readTest(d *policyDecoder, p *Policy, v entry.Value, path string) {
	if v.Type != entry.BoolValue {
		d.add(v, path, entry.CodeType, "true or false")
	}
	p.FHIR.Test = v.Bool
}
