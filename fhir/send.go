package fhir

import (
	"maps"
	"slices"

	"cotline/fhir/internal/r4"
	"cotline/handover"
)

// Send exports a ward as New does, and calls with each of its transactions as soon as it
// is full: no more than one infant is in memory. What stands in them is what Transactions
// gives, in another order: people, cots and drivers come with the first who needs them.
// An error after some were given means that the whole has not left.
func Send(w handover.Ward, ask Ask, s Sending, with func(text []byte) error) ([]Held, error) {
	ask.Lean = true
	c, x := assemble(w, ask)
	if err := x.mayBeSent(s, slices.Sorted(maps.Keys(c.exported))); err != nil {
		return nil, err
	}
	p := x.packer(s, with)
	err := c.carry(func(some []*r4.Resource) error {
		if len(c.absent) > 0 || c.unsound != nil {
			return nil // all that is not set is told in the end
		}
		if _, err := c.shared(x.pool); err != nil {
			return err
		}
		for _, r := range some {
			x.pool[r.Key()] = r
		}
		if err := p.packAll(some); err != nil {
			return err
		}
		for _, r := range some { // an infant is not referred to from another
			delete(x.pool, r.Key())
			delete(p.sent, r)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	if _, err := c.shared(x.pool); err != nil {
		return nil, err
	}
	for _, key := range slices.Sorted(maps.Keys(x.pool)) { // those that nothing refers to
		if err := p.pack(x.pool[key]); err != nil {
			return nil, err
		}
	}
	return x.Held, p.flush()
}
