package fhir

import (
	"slices"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"
)

// build adds what the entries of the latest stay yield, and those of stays that ended
// within the policy's time before; of earlier stays, the heads and weights alone. Asked for
// all, it adds what the entries of every stay yield.
func (i *infant) build(s *handover.Summary) error {
	i.patient()
	earlier, told := i.told()
	i.grown(earlier)
	for _, stay := range told {
		i.begin(stay)
		i.devices()
		if i.sends("Observation") {
			for _, e := range i.entries {
				i.yield(e)
			}
		}
		i.logistics(stay, s)
		i.overIn(stay)
		if i.sends("Provenance") {
			i.provenances()
		}
	}
	for _, d := range i.sizes {
		if d.sent != nil {
			d.sent.Status = d.status() // it may have come back in a later stay
		}
	}
	i.out = append(i.out, i.uses...)
	i.out = append(i.out, i.facts...)
	i.out = append(i.out, i.now...)
	i.out = append(i.out, i.origins...)
	if i.err != nil {
		return i.err
	}
	gone, err := i.builder.gone(i.record.Infant, i)
	i.out = append(i.out, gone...)
	return err
}

// begin makes ready to tell of a stay.
func (i *infant) begin(stay *entry.Stay) {
	i.entries, i.computedAt = i.record.Of(stay, i.ask.At), nil
	i.stay = i.filing(stay)
	i.care = newInUse(i, i.entries)
	if stay.Discharge != nil {
		i.care.follow(stay.Discharge) // ends what began at its very moment, too
	}
}

// told are the stays that are told of whole, and those before them. Of an infant who is
// back within the time for which one who left still stands, the stay before is told, too:
// closed, as if it had not come back. A document is of one stay.
func (i *infant) told() (earlier, told []*entry.Stay) {
	n := 0
	for last := len(i.stays) - 1; !i.ask.all && n < last && (i.ask.whole || !i.lately(i.stays[n])); {
		n++
	}
	return i.stays[:n], i.stays[n:]
}

// grown adds the heads and weights of earlier stays, and the stay that they are filed to.
// Growth is measured over stays, so the handover of a later stay tells them too.
func (i *infant) grown(stays []*entry.Stay) {
	for _, stay := range stays {
		i.entries = i.record.Of(stay, i.ask.At)
		grown := slices.DeleteFunc(slices.Clone(i.entries), func(e *entry.Standing) bool { return e.Kind != "head" && e.Kind != "weight" })
		if len(grown) == 0 {
			continue
		}
		i.stay = i.filing(stay)
		if i.sends("Encounter") {
			i.encounter(stay)
		}
		i.entries = grown
		if i.sends("Observation") {
			for _, e := range grown {
				i.yield(e)
			}
		}
		if i.sends("Provenance") {
			i.provenances()
		}
	}
}

// logistics adds what is no observation: the stay, the state of the sensor, what is to
// be done, what to mind. The summary is that of an infant who is on the unit; it is nil
// where the infant is not, or where none is wanted.
func (i *infant) logistics(stay *entry.Stay, s *handover.Summary) {
	if i.sends("Encounter") {
		i.encounter(stay)
	}
	if i.sends("DeviceMetric") {
		i.metric(stay)
	}
	here := stay == i.stays[len(i.stays)-1] && s != nil
	if !here {
		s = nil
	}
	if i.sends("Task") {
		i.tasks(stay, s)
		if here {
			i.due(s)
		}
	}
	if i.sends("Flag") && here {
		i.flags(s)
	}
}

// finish are the resources, which nothing changes any more; it lets go of what they were
// made with.
func (i *infant) finish() []*r4.Resource {
	out := i.out
	i.out, i.uses, i.facts, i.now, i.origins = nil, nil, nil, nil, nil
	i.entries, i.care, i.sizes = nil, inUse{}, nil
	i.settling, i.settledBy, i.computedAt, i.retaken, i.course, i.dueOnce = nil, nil, nil, nil, nil, nil
	return out
}
