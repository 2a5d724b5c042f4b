package fhir

import (
	"slices"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// An index stands on what was set when SpO2 was read. A setting may be charted late, or
// taken back, after the index was told. The index is then computed anew, and its
// Observation is amended: R4 lets a final one change its value in no other way.

// computedAnew tells whoever held the index before why it changed.
const computedAnew = "Computed anew: what was set then was charted or taken back later"

// indicesThen are the indices of one reading of SpO2, as known at a moment; nil: none.
type indicesThen struct {
	known   time.Time
	indices *handover.Indices
}

// settlingKinds are those that indices stand on beside the reading.
var settlingKinds = map[string]bool{"admission": true, "support": true, "settings": true, "discharge": true}

func (i *infant) settlingEntries() []amending {
	if i.settling == nil {
		i.settling = i.amendingOf(settlingKinds)
	}
	return i.settling
}

// toldBefore are the indices of a reading, one after the other, as each was known since
// the reading was charted. There are none where nothing that they stand on was written
// down later.
func (i *infant) toldBefore(e *entry.Standing) (told []indicesThen) {
	var moments []time.Time
	for _, x := range i.settlingEntries() {
		if x.Charted.After(e.Charted.Time) && !x.Charted.After(i.ask.Known) && !x.from.After(e.At.Time) {
			moments = append(moments, x.Charted.Time)
		}
	}
	if len(moments) == 0 {
		return nil
	}
	moments = append(moments, e.Charted.Time)
	slices.SortFunc(moments, time.Time.Compare)
	for _, known := range slices.CompactFunc(moments, time.Time.Equal) {
		told = append(told, indicesThen{known, i.indicesKnown(e, known)})
	}
	return told
}

// indicesKnown are the indices of a reading by what was written down by a moment.
func (i *infant) indicesKnown(e *entry.Standing, known time.Time) *handover.Indices {
	for _, record := range i.settlingKnown(known) {
		for _, stay := range record.Stays(e.At.Time) {
			if stay.Discharge != nil && !stay.Discharge.At.Equal(e.At.Time) {
				continue
			}
			if x, ok := handover.IndicesOver(i.policy, i.settle(record.Of(stay, i.ask.At)), []*entry.Entry{e.Entry})[e.ID]; ok {
				return &x.Indices
			}
		}
	}
	return nil
}

// settlingKnown is what indices stand on as it was known at a moment; many readings
// ask for the same.
func (i *infant) settlingKnown(known time.Time) []*entry.Record {
	if found, ok := i.settledBy[known]; ok {
		return found
	}
	var entries []*entry.Entry
	for _, x := range i.settlingEntries() {
		entries = append(entries, x.Entry)
	}
	if i.settledBy == nil {
		i.settledBy = map[time.Time][]*entry.Record{}
	}
	i.settledBy[known] = entry.Replay(entries, known).Infants
	return i.settledBy[known]
}

// anew is when an index last changed after it was first told; zero: never.
func anew(of indexOf, told []indicesThen) (changed time.Time) {
	var was *entry.Decimal
	first := true
	for _, r := range told {
		var v *entry.Decimal
		if r.indices != nil {
			v = of(r.indices)
		}
		same := v == nil && was == nil || v != nil && was != nil && v.Cmp(*was) == 0
		if !same && !first {
			changed = r.known
		}
		first = first && v == nil
		was = v
	}
	return changed
}
