package fhir

import (
	"maps"
	"slices"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// A period of use is gone when its first entry was taken back, or turned out to be another
// one: no moment yields it any more, as known now. A receiver who was told of it within the
// policy's time would keep it open for good. So every export, not a delta alone, tells as
// entered in error what is gone and can stand open. It is told as it was told last. It
// refers to the infant's Patient, stay and devices where these are in the export, and
// names all else by identifier.
//
// Only what was written down late, of a time that had been told, can undo anything. Where
// nothing was, nothing is looked for.

// opening are the kinds that begin or end what can stand open.
var opening = map[string]bool{"admission": true, "discharge": true, "support": true, "interface": true, "circuit": true, "bonnet": true,
	"tube": true, "calibration": true, "task": true, "plan": true}

// recalledKinds are those, and the kinds that say more of it.
var recalledKinds = map[string]bool{"identity": true, "move": true, "task-done": true}

func init() { maps.Copy(recalledKinds, opening) }

// openTypes are the types of what can stand open. A Task of something due and a Flag are
// told of with what was so, while a stay is left.
var openTypes = []string{"Device", "DeviceUseStatement", "Encounter", "Task", "DeviceMetric", "Flag"}

// gone is what an infant yielded and yields no more, of what can stand open. The infant is
// nil where no stay is left of it.
func (b *builder) gone(key string, now *infant) ([]*r4.Resource, error) {
	if !b.remembers() || !slices.ContainsFunc(openTypes, b.sends) {
		return nil, nil
	}
	all := &infant{builder: b, record: &entry.Record{Infant: key}}
	doubts := slices.DeleteFunc(all.lateOf(all.amendingOf(opening)), func(t time.Time) bool { return !t.After(b.window()) })
	if len(doubts) == 0 {
		return nil, nil
	}
	apart := b.recalling(key, all.amendingOf(recalledKinds))
	told := map[string]bool{}
	if now != nil {
		for _, r := range now.out {
			told[r.Key()] = true
		}
	}
	apart.spared = told
	for _, r := range apart.recalled(key, nil, entry.Forever, b.ask.Known) {
		apart.besides[r.Key()] = !told[r.Key()] // told of an earlier stay, or not yet
		told[r.Key()] = true
	}
	var out []*r4.Resource
	amended := amendments(b.entries[key], b.ask.Known)
	for _, t := range slices.Backward(doubts) { // as each was told last
		for _, r := range apart.recalled(key, now, earlier(b.ask.At, t.Add(-1)), t.Add(-1)) {
			if told[r.Key()] {
				continue
			}
			told[r.Key()] = true
			if err := apart.inError(r, amended[r.Entry]); err != nil {
				return nil, err
			}
			out = append(out, r)
		}
	}
	if now == nil {
		out = append(out, apart.overOf(key, b, doubts)...)
	}
	if len(out) > 0 {
		maps.Copy(b.absent, apart.absent)
	}
	return out, nil
}

// recalling makes ready to build some of an infant's entries as they were known earlier: it
// leaves nothing in the export.
func (b *builder) recalling(key string, some []amending) *builder {
	apart := *b
	apart.besides, apart.entries = map[string]bool{}, map[string][]*entry.Entry{}
	for _, x := range some {
		apart.entries[key] = append(apart.entries[key], x.Entry)
	}
	policy := *b.policy
	policy.FHIR.Send = slices.DeleteFunc(slices.Clone(policy.FHIR.Send), func(kind string) bool {
		return !slices.Contains(openTypes, kind)
	})
	apart.policy = &policy
	apart.drivers, apart.absent, apart.cots = map[string]*device{}, map[string]bool{}, map[string]bool{}
	apart.people, apart.staffed = map[string]string{}, map[string]*models.Reference{}
	return &apart
}

// recalled is what can stand open of all stays of an infant, at a moment, by what was known
// at another; of the Patient who is told of now.
func (b *builder) recalled(key string, now *infant, at, known time.Time) []*r4.Resource {
	i := b.recall(key, at, known)
	if i == nil {
		return nil
	}
	if now != nil {
		i.subject = now.subject
	}
	for _, stay := range i.stays {
		i.begin(stay)
		i.devices()
		i.logistics(stay, nil)
	}
	return slices.Concat(i.out, i.uses, i.facts)
}

// recall is an infant as it was known at a moment, nil where it had no stay. It names its
// Patient, who may not be in the export, by identifier.
func (b *builder) recall(key string, at, known time.Time) *infant {
	b.ask.At, b.ask.Known = at, known
	i := b.find(key)
	if i == nil {
		return nil
	}
	i.patient()
	i.out, i.subject.Reference, i.subject.Type = nil, nil, r4.Ptr("Patient")
	return i
}

// overOf is what was due, and what Flags stood, of an infant of whom no stay is left: over
// like any other.
func (b *builder) overOf(key string, now *builder, doubts []time.Time) []*r4.Resource {
	for _, t := range slices.Backward(doubts) {
		i := b.recall(key, t.Add(-1), t.Add(-1))
		if i == nil {
			continue
		}
		apart := *b
		apart.ask, apart.entries = now.ask, now.entries
		i.builder = &apart
		for _, stay := range i.stays {
			i.begin(stay)
			i.overIn(stay)
		}
		return i.now
	}
	return nil
}
