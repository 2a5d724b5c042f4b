package fhir

import (
	"errors"
	"maps"
	"slices"

	"cotline/fhir/internal/r4"
	"cotline/handover"
)

// Send exports a ward as New does, and calls with each of its transactions as soon as it
// is full: no more than two infants are in memory, one that is built and one that is
// encoded, packed and checked beside it. What stands in them is what Transactions gives,
// in another order: people, cots and drivers come with the first who needs them. An error
// after some were given means that the whole has not left. The calls come one after
// another, from another goroutine.
func Send(w handover.Ward, ask Ask, s Sending, with func(text []byte) error) ([]Held, error) {
	ask.Lean = true
	c, x := assemble(w, ask)
	if err := x.mayBeSent(s, slices.Sorted(maps.Keys(c.exported))); err != nil {
		return nil, err
	}
	p := x.packer(s, with)
	packing := p.start()
	known := map[string]*r4.Resource{} // people, cots and drivers that were packed
	err := c.carry(func(some []*r4.Resource) error {
		if len(c.absent) > 0 {
			return nil // all that is not set is told in the end
		}
		shared, err := c.shared(known)
		if err != nil {
			return err
		}
		return packing.add(shared, some)
	})
	if failed := packing.end(); failed != nil {
		return nil, failed
	}
	if err != nil {
		return nil, err
	}
	shared, err := c.shared(known)
	if err != nil {
		return nil, err
	}
	if err := x.join(shared); err != nil {
		return nil, err
	}
	for _, key := range slices.Sorted(maps.Keys(x.pool)) { // those that nothing refers to
		if err := p.pack(x.pool[key]); err != nil {
			return nil, err
		}
	}
	return x.Held, p.flush()
}

// packing encodes and packs one infant while the next is built.
type packing struct {
	work chan made
	over chan struct{} // closed when it has failed
	done chan struct{}
	err  error
}

// made are an infant's resources, and those that come with it for all.
type made struct{ shared, own []*r4.Resource }

// start begins to pack what is added.
func (p *packer) start() *packing {
	g := &packing{work: make(chan made), over: make(chan struct{}), done: make(chan struct{})}
	go func() {
		defer close(g.done)
		for m := range g.work {
			if g.err = p.packOnly(m); g.err != nil {
				close(g.over)
				return
			}
		}
	}()
	return g
}

// errPacking says that packing has failed, which end tells.
var errPacking = errors.New("packing has failed")

func (g *packing) add(shared, own []*r4.Resource) error {
	select {
	case g.work <- made{shared, own}:
		return nil
	case <-g.over:
		return errPacking
	}
}

// end waits until all that was added is packed.
func (g *packing) end() error {
	close(g.work)
	<-g.done
	return g.err
}

// packOnly packs an infant's resources, to which nothing refers after it.
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
