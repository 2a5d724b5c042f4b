package fhir

import (
	"cmp"
	"maps"
	"slices"

	"cotline/fhir/internal/r4"
	"cotline/handover"
)

// Send exports a ward as New does, and calls with each of its transactions as soon as it
// is full. In memory are one infant that is built, one that is encoded and packed beside
// it, and beside both the transaction that is checked and those that wait. What stands in
// them is what Transactions gives, in another order: people, cots and drivers come with the
// first who needs them. An error after some were given means that the whole has not left.
// The calls come one after another, from another goroutine, and the next text is written
// where the one before stands.
func Send(w handover.Ward, ask Ask, s Sending, with func(text []byte) error) ([]Held, error) {
	ask.Lean = true
	c, x := assemble(w, ask)
	if err := x.mayBeSent(s, slices.Sorted(maps.Keys(c.exported))); err != nil {
		return nil, err
	}
	b := x.newTransaction(s)
	writing := newStage(partsWaiting, func(part []*r4.Resource) error { return x.write(b, s, part, with) })
	p := x.packer(s, writing.give)
	packing := newStage(0, p.packOnly)
	known := map[string]*r4.Resource{} // people, cots and drivers that were packed
	err := c.carry(func(some []*r4.Resource) error {
		if len(c.absent) > 0 {
			return nil // all that is not set is told in the end
		}
		shared, err := c.shared(known)
		if err != nil {
			return err
		}
		return packing.give(made{shared, some})
	})
	err = cmp.Or(packing.end(), err)
	if err == nil {
		err = p.packRest(c, known)
	}
	if err = cmp.Or(writing.end(), err); err != nil {
		return nil, err
	}
	return x.Held, nil
}

// partsWaiting is how many transactions may wait to be written: those of one infant or two, so
// that the next is encoded meanwhile.
const partsWaiting = 16

// made are an infant's resources, and those that come with it for all.
type made struct{ shared, own []*r4.Resource }

// packOnly encodes and packs an infant's resources, to which nothing refers after it.
func (p *packer) packOnly(m made) error {
	if err := p.x.join(slices.Concat(m.shared, m.own)); err != nil {
		return err
	}
	if err := p.packAll(m.own); err != nil {
		return err
	}
	for _, r := range m.own {
		delete(p.x.pool, r.Key())
		delete(p.sent, r)
	}
	return nil
}

// packRest packs what is shared and nothing refers to.
func (p *packer) packRest(c *carrier, known map[string]*r4.Resource) error {
	shared, err := c.shared(known)
	if err != nil {
		return err
	}
	if err := p.x.join(shared); err != nil {
		return err
	}
	for _, key := range slices.Sorted(maps.Keys(p.x.pool)) {
		if err := p.pack(p.x.pool[key]); err != nil {
			return err
		}
	}
	return p.flush()
}

// join encodes resources and adds them to what others refer to.
func (x *Export) join(some []*r4.Resource) error {
	if err := encode(x.policy, some, true); err != nil {
		return err
	}
	for _, r := range some {
		x.pool[r.Key()] = r
	}
	return nil
}
