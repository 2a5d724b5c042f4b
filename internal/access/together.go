package access

import (
	"context"
	"errors"
	"slices"
	"sync"
)

// Noted is what somebody did, and from where.
type Noted struct {
	By   *Who
	From Origin
	Event
}

// together gathers what is noted at the same time. Whoever has the turn keeps what waits
// then; the others wait for it, or for the turn.
type together struct {
	turn    chan struct{} // of one place
	mu      sync.Mutex
	waiting []*waiting
}

// waiting is something that is to be noted, and what became of it.
type waiting struct {
	Noted
	kept chan error // of one place
}

// mostTogether are kept in one transaction, so that the first does not wait for ever.
const mostTogether = 256

// errNotKept is what those are told who waited for one whose work ended in a fault.
var errNotKept = errors.New("access: what was done could not be noted")

func (t *together) note(ctx context.Context, n Noted, keep func(context.Context, []Noted) error) error {
	if err := ctx.Err(); err != nil {
		return err
	}
	w := &waiting{n, make(chan error, 1)}
	t.mu.Lock()
	t.waiting = append(t.waiting, w)
	t.mu.Unlock()
	for {
		select {
		case err := <-w.kept:
			return err
		case t.turn <- struct{}{}:
			t.keep(ctx, keep)
		case <-ctx.Done(): // it may be noted all the same
			t.leave(w)
			return ctx.Err()
		}
	}
}

// leave takes away what nobody waits for.
func (t *together) leave(w *waiting) {
	t.mu.Lock()
	defer t.mu.Unlock()
	t.waiting = slices.DeleteFunc(t.waiting, func(x *waiting) bool { return x == w })
}

// keep keeps what waits, with the turn, which it gives back. That one of them goes away
// undoes nobody else's.
func (t *together) keep(ctx context.Context, keep func(context.Context, []Noted) error) {
	t.mu.Lock()
	all := t.waiting
	if len(all) > mostTogether {
		all = all[:mostTogether:mostTogether]
	}
	t.waiting = t.waiting[len(all):]
	t.mu.Unlock()
	defer func() {
		tell(all, errNotKept) // those who were told nothing, in a panic
		<-t.turn
	}()
	if len(all) == 0 {
		return
	}
	events := make([]Noted, len(all))
	for i, w := range all {
		events[i] = w.Noted
	}
	ctx = context.WithoutCancel(ctx)
	err := keep(ctx, events)
	if len(all) > 1 && errors.Is(err, errNoEvent) { // one can never be kept, which is no fault of the others
		for _, w := range all {
			w.kept <- keep(ctx, []Noted{w.Noted})
		}
		return
	}
	tell(all, err)
}

func tell(all []*waiting, err error) {
	for _, w := range all {
		select {
		case w.kept <- err:
		default: // it knows already
		}
	}
}
