package fhir

import (
	"cmp"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// builder collects the resources of an export.
type builder struct {
	policy  *handover.Policy
	ask     Ask
	codes   r4.Codes
	entries map[string][]*entry.Entry         // by infant
	drivers map[string]*device                // by asset tag
	people  map[string]string                 // names of whom resources refer to, by staff key
	staffed map[string]*models.Reference      // references to whoever charted something, by staff key
	cots    map[string]bool                   // that resources refer to
	others  map[string]*infant                // every infant of the record
	over    map[string][]handover.WasTogether // what is over between infants, by each
	visits  map[string]int                    // how many stays have a visit number
	absent  map[string]bool                   // keys of the policy that are needed and not set
	besides map[string]bool                   // what is recalled (gone.go) may not refer to these, by Type/id; nil: nothing is
	spared  map[string]bool                   // devices and their use that need not be recalled, for they were told, by Type/id
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
func (b *builder) own(value string) r4.Identifier {
	return r4.Identifier{System: b.policy.FHIR.Base + r4.OwnIDPath, Value: value}
}

// sends says whether the receiver takes a type.
func (b *builder) sends(kind string) bool {
	return b.ask.whole || slices.Contains(b.policy.FHIR.Send, kind)
}

// leaves says whether what is sent goes without indices, say, by the policy's choice.
func (b *builder) leaves(what string) bool { return slices.Contains(b.policy.FHIR.Leave, what) }

func (b *builder) stamp(t time.Time) string { return r4.Stamp(t.In(b.policy.Zone)) }

// withinBreak says whether support that stopped and began again has gone on.
func (b *builder) withinBreak(stopped, began time.Time) bool {
	return began.Sub(stopped) <= b.policy.BreakUpTo
}

// sendsDevices says whether the receiver takes devices.
func (b *builder) sendsDevices() bool { return b.sends("Device") || b.sends("DeviceUseStatement") }

// refer is a reference to a device, nil when the receiver takes none.
func (b *builder) refer(d *device) *models.Reference {
	if !b.sendsDevices() {
		return nil
	}
	return b.to("Device", d.id, b.known(d), d.tag != "")
}

// to refers to a resource: by its address or, from what is recalled (gone.go), by its
// identifier alone where it is shared or may not be in the export.
func (b *builder) to(kind, id string, known r4.Identifier, shared bool) *models.Reference {
	if b.besides != nil && shared || b.besides[kind+"/"+id] {
		return &models.Reference{Type: &kind, Identifier: r4.IdentifierOf(known.System, known.Value)}
	}
	return r4.Literal(kind, id)
}

// known is the business identifier of a device. A driver's is its asset tag.
func (b *builder) known(d *device) r4.Identifier {
	if d.tag != "" {
		return r4.Identifier{System: b.system("device"), Value: d.tag}
	}
	return b.own(d.id)
}

// encode finishes resources that nothing changes any more, unless the policy lacks
// something that they need: that is told in the end.
func (b *builder) encode(some []*r4.Resource) error {
	if len(b.absent) > 0 {
		return nil
	}
	return encode(b.policy, some, b.ask.Lean)
}

// encode finishes resources on all cores.
func encode(p *handover.Policy, some []*r4.Resource, lean bool) error {
	var group sync.WaitGroup
	failed := make([]error, len(some))
	next := atomic.Int64{}
	for range min(runtime.GOMAXPROCS(0), len(some)) {
		group.Go(func() {
			for n := int(next.Add(1)) - 1; n < len(some); n = int(next.Add(1)) - 1 {
				failed[n] = encodeOne(p, some[n], lean)
			}
		})
	}
	group.Wait()
	return cmp.Or(failed...)
}

func encodeOne(p *handover.Policy, r *r4.Resource, lean bool) error {
	if err := r.Encode(p); err != nil || !lean {
		return err
	}
	if grouped(r) == nil {
		r.Model = nil
	}
	return nil
}
