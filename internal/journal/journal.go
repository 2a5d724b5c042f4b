package journal

import (
	"context"
	"fmt"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// Journal is one unit's, in a store.
type Journal struct {
	Store Store
	Unit  string           // key of the unit within the store
	Now   func() time.Time // the clock that accepts
	// Engine is the version of what compiles, and Compile the handover as JSON
	// for a moment, as known at another, of the rows up to a head.
	Engine  string
	Compile func(w handover.Ward, at, known time.Time, head Head) []byte
}

// Refused says that nothing was taken, and why.
type Refused struct{ Issues []entry.Issue }

func (r *Refused) Error() string {
	return fmt.Sprintf("nothing was taken: %d faults", len(r.Issues))
}

// Receipt is what became of an offer. Taken is durable.
type Receipt struct {
	Taken, Held int // new entries, and those that were held already
	Head        Head
	Signed      []Signed // handovers signed with it
}

// Append takes what is offered, whole or not at all, by the unit's policy in
// force. Offer makes the entries from what is held, within the transaction; it
// must not wait for anybody. A refusal is *Refused.
func (j *Journal) Append(ctx context.Context, policy *handover.Policy, offer func(*Held) ([]*entry.Entry, error)) (Receipt, error) {
	var receipt Receipt
	err := j.Store.Write(ctx, j.Unit, func(tx Tx) error {
		receipt = Receipt{} // a driver may run this again
		held := &Held{view: tx}
		offered, err := offer(held)
		if err != nil {
			return err
		}
		accepted := j.Now().In(policy.Zone)
		fresh, issues := entry.Accept(held, offered, policy.Lists(), policy.ClockTolerance, accepted)
		if held.err != nil {
			return held.err
		}
		if len(issues) > 0 {
			return &Refused{issues}
		}
		receipt.Taken, receipt.Held = len(fresh), len(offered)-len(fresh)
		if receipt.Head, err = tx.Head(); err != nil || len(fresh) == 0 {
			return err
		}
		rows := make([]Row, 0, len(fresh))
		stamp := entry.MomentOf(accepted).Text
		for _, e := range fresh {
			row := receipt.Head.row(e, stamp)
			rows = append(rows, row)
			receipt.Head = Head{row.Position, row.Chain}
		}
		if err := tx.Append(rows); err != nil {
			return err
		}
		if err := tx.KeepPolicy(policy.Hash(), string(policy.Canonical())); err != nil {
			return err
		}
		receipt.Signed, err = j.sign(tx, policy, fresh, receipt.Head)
		return err
	})
	if err != nil {
		return Receipt{}, err
	}
	return receipt, nil
}

// Holding lends what is held, to judge an offer without taking it.
func (j *Journal) Holding(ctx context.Context, judge func(entry.Holding)) error {
	return j.Store.Read(ctx, j.Unit, func(v View) error {
		held := &Held{view: v}
		judge(held)
		return held.err
	})
}

// Offer is the offer of entries that do not depend on what is held.
func Offer(entries []*entry.Entry) func(*Held) ([]*entry.Entry, error) {
	return func(*Held) ([]*entry.Entry, error) { return entries, nil }
}

// Held is what a journal holds, read as far as it is asked for. The first fault
// in reading is kept and fails the transaction.
type Held struct {
	view View
	err  error
}

// Entry is the held entry of that id, nil when there is none.
func (h *Held) Entry(id string) *entry.Entry {
	row, found, err := h.view.Row(id)
	if err != nil || !found {
		h.fail(err)
		return nil
	}
	return h.read(row)
}

// Infant are all held entries of one infant.
func (h *Held) Infant(key string) []*entry.Entry {
	rows, err := h.view.Infant(key)
	h.fail(err)
	var out []*entry.Entry
	for _, row := range rows {
		if e := h.read(row); e != nil {
			out = append(out, e)
		}
	}
	return out
}

// Keys are the keys of every infant held.
func (h *Held) Keys() []string {
	keys, err := h.view.Keys()
	h.fail(err)
	return keys
}

func (h *Held) read(row Row) *entry.Entry {
	e, err := row.entry()
	if err != nil {
		h.fail(fmt.Errorf("%w: position %d: %w", ErrDamaged, row.Position, err))
	}
	return e
}

func (h *Held) fail(err error) {
	if h.err == nil {
		h.err = err
	}
}
