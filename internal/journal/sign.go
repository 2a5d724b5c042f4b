package journal

import (
	"cmp"
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"

	"cotline/handover"
	"cotline/handover/entry"
)

// sign keeps what each of the handovers taken was signed on. Every row of the
// transaction is in the index already.
func (j *Journal) sign(tx Tx, s *stored, policy *handover.Policy, fresh []*entry.Entry) ([]Signed, error) {
	var signing []*entry.Entry
	for _, e := range fresh {
		if e.Kind == "handover" {
			signing = append(signing, e)
		}
	}
	slices.SortFunc(signing, func(a, b *entry.Entry) int { return cmp.Compare(a.ID, b.ID) })
	head := s.top.Head
	for _, e := range signing {
		if err := s.setItem("signed/"+e.ID, head.Position, Hash{}); err != nil { // all of a file are cut at once
			return nil, err
		}
	}
	var out []Signed
	for some := range slices.Chunk(signing, runtime.GOMAXPROCS(0)) {
		texts, err := j.named(index{s}, policy, some, head)
		if err != nil {
			return nil, err
		}
		for i, e := range some {
			signed := Signed{
				ID: e.ID, Position: head.Position, Chain: head.Chain, Policy: policy.Hash(),
				Engine: j.Engine, Digest: digest(texts[i]), Form: Named, JSON: texts[i],
			}
			if err := tx.KeepSigned(signed); err != nil {
				return nil, err
			}
			if err := s.cut(signed); err != nil {
				return nil, err
			}
			out = append(out, signed)
		}
	}
	return out, nil
}

// named are handovers as they are signed, of the infants that each names. They are
// compiled side by side: what they are compiled from does not change.
func (j *Journal) named(x index, policy *handover.Policy, some []*entry.Entry, head Head) ([][]byte, error) {
	texts := make([][]byte, len(some))
	var group sync.WaitGroup
	defer group.Wait()
	for i, e := range some {
		ward, err := x.ward(policy, e)
		if err != nil {
			return nil, err
		}
		group.Go(func() {
			asOf, _ := e.Moment("asOf")
			texts[i] = j.Compile(ward, asOf.Time, e.Charted.Time, head)
		})
	}
	return texts, nil
}

// ward is what a handover that is signed is compiled from.
func (x index) ward(policy *handover.Policy, e *entry.Entry) (w handover.Ward, err error) {
	asOf, _ := e.Moment("asOf")
	a := About{At: asOf.Time, Known: e.Charted.Time}
	for _, key := range e.List("infants") {
		a.Infants = append(a.Infants, key.Text)
	}
	p, err := x.picked(a, policy)
	if err != nil {
		return w, err
	}
	w = handover.Ward{Entries: entriesOf(p.all), Positions: positionsOf(p.all), Policy: policy, Only: a.Infants}
	w.Signed, err = p.signed()
	return w, err
}

func positionsOf(all []*held) []int64 {
	out := make([]int64, len(all))
	for i, h := range all {
		out[i] = h.position
	}
	return out
}

// Signed is what a handover was signed on, and whether it was signed here, both
// proven. Bytes that are not those of the digest are the caller's to refuse.
func (j *Journal) Signed(ctx context.Context, id string) (s Signed, found bool, err error) {
	err = j.Store.Read(ctx, j.Unit, func(v View) error {
		if s, found, err = v.Signed(id); err != nil {
			return err
		}
		index, err := opened(v)
		if err != nil || index == nil {
			return err
		}
		position, sum, err := index.item("signed/" + id)
		if err != nil {
			return err
		}
		if found != (position > 0) || found && sum != s.sum() {
			return fmt.Errorf("%w: what handover %s was signed on is not what was kept", ErrDamaged, id)
		}
		return nil
	})
	return s, found, err
}
