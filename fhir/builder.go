package fhir

import (
	"slices"
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// builder collects the resources of an export.
type builder struct {
	policy  *handover.Policy
	ask     Ask
	codes   codes
	entries map[string][]*handover.Entry // by infant
	drivers map[string]*device           // by asset tag
	people  map[string]string            // names of whom resources refer to, by staff key
	cots    map[string]bool              // that resources refer to
	others  map[string]*infant           // every infant of the record
	visits  map[string]int               // how many stays have a visit number
	out     []*Resource
	absent  map[string]bool // keys of the policy that are needed and not set
}

// system is the identifier system of one of mrn, visit, staff, device.
func (b *builder) system(of string) string {
	s := b.policy.FHIR.Identifiers[of].System
	if s == "" {
		b.absent["fhir.identifiers."+of+".system"] = true
	}
	return s
}

// own is a business identifier of our own.
func (b *builder) own(value string) Identifier {
	return Identifier{System: b.policy.FHIR.Base + ownIDPath, Value: value}
}

// sends says whether the receiver takes a type.
func (b *builder) sends(kind string) bool {
	return b.ask.whole || slices.Contains(b.policy.FHIR.Send, kind)
}

func (b *builder) add(infant string, id Identifier, r *resource) *Resource {
	out := &Resource{Type: r.kind, ID: r.id, Infant: infant, Identifier: id, model: r}
	b.out = append(b.out, out)
	return out
}

func (b *builder) stamp(t time.Time) string { return stamp(t.In(b.policy.Zone)) }

// withinBreak says whether support that stopped and began again has gone on.
func (b *builder) withinBreak(stopped, began time.Time) bool {
	return began.Sub(stopped) <= b.policy.BreakUpTo
}

// refer is a reference to a device, nil when the receiver takes none.
func (b *builder) refer(d *device) *r4.Reference {
	if !b.sends("Device") && !b.sends("DeviceUseStatement") {
		return nil
	}
	return literal("Device", d.id)
}
