package fhir

import (
	"maps"
	"slices"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// New exports a ward. It fails with *NotSet where the policy lacks an identifier
// system that is needed; nothing is made up in its place.
func New(w handover.Ward, ask Ask) (*Export, error) {
	c, x := assemble(w, ask)
	var all []*r4.Resource
	if err := c.carry(func(some []*r4.Resource) error { all = append(all, some...); return c.encode(some) }); err != nil {
		return nil, err
	}
	first, err := c.shared(x.pool)
	if err != nil {
		return nil, err
	}
	if err := c.encode(first); err != nil {
		return nil, err
	}
	x.Resources = append(first, all...)
	for _, r := range all {
		x.pool[r.Key()] = r
	}
	return x, nil
}

// assemble makes ready to build the infants who are exported, and finds who is held
// back.
func assemble(w handover.Ward, ask Ask) (*carrier, *Export) {
	b := &builder{policy: w.Policy, ask: ask, entries: map[string][]*entry.Entry{}, absent: map[string]bool{},
		drivers: map[string]*device{}, people: map[string]string{}, staffed: map[string]*models.Reference{}, cots: map[string]bool{},
		others: map[string]*infant{}, codes: r4.CodesOf(w.Policy, ask.Codes)}
	for _, e := range w.Entries {
		b.entries[e.Infant] = append(b.entries[e.Infant], e)
	}
	x := &Export{policy: w.Policy, pool: map[string]*r4.Resource{}}
	var infants []*infant
	numbers := map[string]*sharing{}
	for _, key := range slices.Sorted(maps.Keys(b.entries)) {
		i := b.find(key)
		if i == nil {
			continue
		}
		numbers[i.identity("mrn")] = numbers[i.identity("mrn")].with(i)
		infants = append(infants, i)
		b.others[key] = i
	}
	b.visits = visitsOf(b.others, ask.At)
	exported := map[string]*infant{}
	for _, i := range infants {
		switch {
		case !i.wanted():
		case i.identity("mrn") != "" && numbers[i.identity("mrn")].confuses(i):
			x.Held = append(x.Held, Held{i.record.Infant,
				"another infant has the same hospital number: a receiver would take them for one"})
		default:
			exported[i.record.Infant] = i
		}
	}
	c := b.carrier(infants, exported, x.Held)
	c.summaries = b.summaries(w)
	if b.sends("Flag") && b.remembers() {
		b.over = map[string][]handover.WasTogether{}
		for _, x := range w.WasTogether(b.window(), ask.At, ask.Known) {
			b.over[x.Infant] = append(b.over[x.Infant], x)
		}
	}
	return c, x
}

// sharing counts the infants of one hospital number.
type sharing struct{ all, admitted int }

func (s *sharing) with(i *infant) *sharing {
	if s == nil {
		s = &sharing{}
	}
	s.all++
	if i.admitted() {
		s.admitted++
	}
	return s
}

// confuses says whether a receiver would take an infant for another of the same
// hospital number: one who left for any other, one who is admitted for another who is.
func (s *sharing) confuses(i *infant) bool {
	if i.admitted() {
		return s.admitted > 1
	}
	return s.all > 1
}

// shared are the people, cots and drivers that the entries of the infants built so far
// name, but for those already in the pool, which they join. They stand before what
// refers to them.
func (b *builder) shared(pool map[string]*r4.Resource) ([]*r4.Resource, error) {
	all := append(b.practitioners(), b.locations()...)
	if b.sendsDevices() {
		all = append(all, b.tagged()...)
	}
	all = slices.DeleteFunc(all, func(r *r4.Resource) bool { return pool[r.Key()] != nil })
	if len(b.absent) > 0 {
		return nil, &NotSet{slices.Sorted(maps.Keys(b.absent))}
	}
	for _, r := range all {
		pool[r.Key()] = r
	}
	return all, nil
}

// visitsOf counts the stays that have each visit number.
func visitsOf(infants map[string]*infant, at time.Time) map[string]int {
	out := map[string]int{}
	for _, key := range slices.Sorted(maps.Keys(infants)) {
		i := infants[key]
		for _, stay := range i.stays {
			i.entries = i.record.Of(stay, at)
			if v := i.visit(); v != "" {
				out[v]++
			}
		}
	}
	return out
}

// summaries are the handover of the ward at the moment that is asked for, by infant:
// they tell what is due and who could be mistaken for whom. Nil where nothing that is
// sent needs them.
func (b *builder) summaries(w handover.Ward) map[string]*handover.Summary {
	if !b.sends("Task") && !b.sends("Flag") || b.ask.ever {
		return nil
	}
	out := map[string]*handover.Summary{}
	for _, s := range handover.Compile(w, b.ask.At, b.ask.Known, b.ask.At).Infants {
		out[s.Infant] = s
	}
	return out
}
