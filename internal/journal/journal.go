package journal

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
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
	// for a moment, as known at another, of the rows up to a head: of the infants
	// that the ward says alone, where it says any.
	Engine  string
	Compile func(w handover.Ward, at, known time.Time, head Head) []byte
	// Progress is told now and then how many of how many rows are done, where
	// that takes its time; nil: nobody is.
	Progress func(done, of int64)
	// AcceptLoss makes the entry that says that a loss was accepted, by which a
	// journal that ends before what was taken is charted into all the same; nil:
	// it is refused.
	AcceptLoss func(*Behind) *entry.Entry
	// AcceptClock makes the entry that says that the clock was found right at a moment
	// at which it is in doubt, which ends the doubt; nil: it goes on.
	AcceptClock func(c Clock, now time.Time) *entry.Entry
}

// ErrNothingLost refuses to accept a loss where there is none.
var ErrNothingLost = errors.New("nothing that was taken is gone")

// Refused says that nothing was taken, and why.
type Refused struct{ Issues []entry.Issue }

func (r *Refused) Error() string {
	return fmt.Sprintf("nothing was taken: %d faults", len(r.Issues))
}

// Receipt is what became of an offer. Taken is durable.
type Receipt struct {
	Taken, Held int            // new entries, and those that were held already
	Entries     []*entry.Entry // the new ones
	Head        Head
	Signed      []Signed // handovers signed with it
	Unmarked    bool     // nothing told before whether earlier entries were lost
	Accepted    time.Time
	Clock       Clock // that took them, as it was known before
	// Put is the policy that was put in force with it, nil when none was; Before the
	// one that was in force until then, nil when there was none.
	Put, Before *handover.Policy
}

// Append takes what is offered, whole or not at all, by a policy of the unit, and puts
// it in force when it is not. Offer makes the entries from what is held, within the
// transaction; it must not wait for anybody. A refusal is *Refused. With *Unproven
// everything was taken, and the receipt stands.
func (j *Journal) Append(ctx context.Context, policy *handover.Policy, offer func(*Held) ([]*entry.Entry, error)) (Receipt, error) {
	var receipt Receipt
	err := j.Store.Write(ctx, j.Unit, func(tx Tx) (err error) {
		receipt, err = j.take(tx, policy, offer) // anew where a driver runs this again
		return err
	})
	var unproven *Unproven
	if errors.As(err, &unproven) { // it is durable, and that is all
		return receipt, err
	}
	if err != nil {
		return Receipt{}, err
	}
	return receipt, nil
}

// take takes what is offered within a transaction.
func (j *Journal) take(tx Tx, policy *handover.Policy, offer func(*Held) ([]*entry.Entry, error)) (Receipt, error) {
	var receipt Receipt
	lost, mark, err := j.lossToAccept(tx)
	if err != nil {
		return receipt, err
	}
	index, err := adopted(tx)
	if err != nil {
		return receipt, err
	}
	had, err := policiesBefore(tx, index.top)
	if err != nil {
		return receipt, err
	}
	held := &Held{index: index, view: tx, Policy: had.Now}
	offered, err := offer(held)
	if err != nil {
		return receipt, err
	}
	if lost != nil {
		offered = append(slices.Clip(offered), j.AcceptLoss(lost))
	}
	accepted := j.Now().In(policy.Zone)
	clock, err := index.clock()
	if err != nil {
		return receipt, err
	}
	sound := clock.Judge(accepted) == entry.ClockSound
	switch {
	case j.AcceptClock == nil:
	case sound:
		return receipt, ErrClockSound
	default:
		offered = append(slices.Clip(offered), j.AcceptClock(clock, accepted))
		sound = true
	}
	fresh, issues := entry.Accept(held, offered, policy.Lists(), policy.ClockTolerance, accepted)
	if held.err != nil {
		return receipt, held.err
	}
	if len(issues) > 0 {
		return receipt, &Refused{issues}
	}
	receipt.Taken, receipt.Held, receipt.Entries = len(fresh), len(offered)-len(fresh), fresh
	receipt.Head, receipt.Accepted, receipt.Clock = index.top.Head, accepted, clock
	stamp := entry.MomentOf(accepted).Text
	put, err := index.putInForce(tx, had, policy, receipt.Head.Position+1, stamp)
	if err != nil {
		return receipt, err
	}
	if put {
		receipt.Put, receipt.Before = policy, had.Now
	}
	if len(fresh) == 0 {
		if !put {
			return receipt, nil
		}
		return receipt, index.keep()
	}
	if index.top.sound = clock.Sound; sound {
		index.top.sound = accepted
	}
	receipt.Unmarked = mark.State == Unmarked && receipt.Head.Position > 0
	if err := index.appendRows(tx, fresh, stamp); err != nil {
		return receipt, err
	}
	receipt.Head = index.top.Head
	if err := tx.KeepPolicy(policy.Hash(), string(policy.Canonical())); err != nil {
		return receipt, err
	}
	if receipt.Signed, err = j.sign(tx, index, policy, fresh); err != nil {
		return receipt, err
	}
	return receipt, index.keep()
}

// lossToAccept is what was lost since the last head that was told of, nil for nothing. A
// loss that nobody accepts is the error, and so is one that is accepted and is none.
func (j *Journal) lossToAccept(tx Tx) (*Behind, Mark, error) {
	lost, mark, err := behind(tx)
	switch {
	case err != nil:
		return nil, mark, err
	case lost != nil && j.AcceptLoss == nil:
		return nil, mark, lost
	case lost == nil && j.AcceptLoss != nil:
		return nil, mark, ErrNothingLost
	}
	return lost, mark, nil
}

// policiesBefore are the policies that were in force up to now. None yet is no fault: what
// is offered brings one.
func policiesBefore(tx Tx, top *top) (Policies, error) {
	had, _, err := policiesOf(tx, top)
	var none *NoPolicy
	if err == nil && had.Err != nil && !errors.As(had.Err, &none) {
		err = had.Err
	}
	return had, err
}

// Holding lends what is held, to judge an offer without taking it.
func (j *Journal) Holding(ctx context.Context, judge func(entry.Holding)) error {
	return j.Store.Read(ctx, j.Unit, func(v View) error {
		if _, _, err := whole(v); err != nil {
			return err
		}
		s, err := opened(v)
		if err != nil {
			return err
		}
		held := &Held{index: s, view: v}
		if s == nil { // of an older version: read whole, for once
			if held.index, err = remembered(v); err != nil {
				return err
			}
		}
		judge(held)
		return held.err
	})
}

// Offer is the offer of entries that do not depend on what is held.
func Offer(entries []*entry.Entry) func(*Held) ([]*entry.Entry, error) {
	return func(*Held) ([]*entry.Entry, error) { return entries, nil }
}

// Held is what a journal holds, read as far as it is asked for, each answer
// proven. The first fault in reading is kept and fails the transaction.
type Held struct {
	Policy *handover.Policy // in force before the offer is taken, nil when there is none
	index  base
	view   View
	err    error
}

// Entry is the held entry of that id, nil when there is none.
func (h *Held) Entry(id string) *entry.Entry {
	e, err := index{h.index}.byID(id)
	if h.fail(err); e == nil || err != nil {
		return nil
	}
	return e.Entry
}

// Infant are all held entries of one infant.
func (h *Held) Infant(key string) []*entry.Entry {
	return append(h.streams(key, "who/"), h.streams(key, "care/")...)
}

// Stays are those of them that tell where a stay begins and ends.
func (h *Held) Stays(key string) []*entry.Entry { return h.streams(key, "who/") }

func (h *Held) streams(key, stream string) (out []*entry.Entry) {
	all, err := h.index.stream(stream + strings.ToLower(key))
	h.fail(err)
	for _, e := range all {
		if e.Infant == key {
			out = append(out, e.Entry)
		}
	}
	return out
}

// Like is the key of a held infant that is the same but for case, empty when there
// is none.
func (h *Held) Like(key string) string {
	e, err := index{h.index}.known(strings.ToLower(key))
	if h.fail(err); e == nil || err != nil {
		return ""
	}
	return e.Infant
}

// Keys are the keys of every infant held.
func (h *Held) Keys() (out []string) {
	all, err := h.index.stream("infants")
	h.fail(err)
	for _, e := range all {
		out = append(out, e.Infant)
	}
	return out
}

func (h *Held) fail(err error) {
	if h.err == nil {
		h.err = err
	}
}
