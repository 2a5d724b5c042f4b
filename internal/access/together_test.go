package access_test

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// slow is a store whose writes are counted, and wait until they may go on.
type slow struct {
	access.Store
	mu     sync.Mutex
	writes int
	begun  chan struct{}
	goOn   chan struct{}
}

func (s *slow) Write(ctx context.Context, do func(access.Tx) error) error {
	s.mu.Lock()
	s.writes++
	s.mu.Unlock()
	s.begun <- struct{}{}
	<-s.goOn
	return s.Store.Write(ctx, do)
}

// noting has one event in the store's hands and so many more that wait for it.
func noting(t *testing.T, more ...access.Event) (*access.Access, *slow, []error) {
	t.Helper()
	a, store, _ := ward(t)
	s := &slow{Store: store, begun: make(chan struct{}, 100), goOn: make(chan struct{})}
	a.Store = s
	errs := make([]error, len(more)+1)
	var all sync.WaitGroup
	all.Go(func() {
		errs[0] = a.Note(ctx, access.Console(), access.Origin{}, access.Event{Unit: home, Kind: access.Read, What: "first"})
	})
	<-s.begun
	for i, e := range more {
		all.Go(func() { errs[i+1] = a.Note(ctx, access.Console(), access.Origin{}, e) })
	}
	time.Sleep(20 * time.Millisecond) // most of them wait by then; who comes later is in another transaction
	close(s.goOn)
	all.Wait()
	return a, s, errs
}

// What is noted at the same time is kept in few transactions, each event once.
func TestNotedTogether(t *testing.T) {
	var more []access.Event
	for i := range 50 {
		more = append(more, access.Event{Unit: home, Kind: access.Read, What: fmt.Sprintf("page %02d", i)})
	}
	a, s, errs := noting(t, more...)
	if err := errors.Join(errs...); err != nil {
		t.Fatal(err)
	}
	if s.writes > 10 {
		t.Errorf("%d transactions for 51 events", s.writes)
	}
	var pages []string
	for _, e := range events(t, a, home, access.Read) {
		pages = append(pages, e.What)
	}
	slices.Sort(pages)
	if len(pages) != 51 || len(slices.Compact(pages)) != 51 {
		t.Errorf("%v", pages)
	}
}

// One that can never be kept is refused alone, and none is kept twice.
func TestNotedTogetherWithWhatIsNone(t *testing.T) {
	good := access.Event{Unit: home, Kind: access.Read, What: "good"}
	a, _, errs := noting(t, good, access.Event{Unit: home, Kind: "gossip"}, good)
	if errs[0] != nil || errs[1] != nil || errs[2] == nil || errs[3] != nil {
		t.Errorf("%v", errs)
	}
	if n := len(events(t, a, home, access.Read)); n != 3 {
		t.Errorf("%d are kept", n)
	}
}

// A write that fails is told to everybody whose event was in it, and to nobody else.
func TestNotedTogetherFails(t *testing.T) {
	a, store, _ := ward(t)
	s := &slow{Store: store, begun: make(chan struct{}, 100), goOn: make(chan struct{})}
	a.Store = s
	errs := make([]error, 4)
	note := func(i int) {
		errs[i] = a.Note(ctx, access.Console(), access.Origin{}, access.Event{Unit: home, Kind: access.Read, What: fmt.Sprint(i)})
	}
	var all sync.WaitGroup
	all.Go(func() { note(0) })
	<-s.begun
	for i := 1; i < len(errs); i++ {
		all.Go(func() { note(i) })
	}
	time.Sleep(20 * time.Millisecond) // most of them wait by then; who comes later is in another transaction
	s.goOn <- struct{}{}              // the first is kept
	<-s.begun
	broken := errors.New("disk full")
	store.Fails = broken
	close(s.goOn)
	all.Wait()
	fits(t, "first", errs[0])
	failed := 0
	for _, err := range errs[1:] {
		if err != nil {
			is(t, "together", err, broken)
			failed++
		}
	}
	if n := len(events(t, a, home, access.Read)); failed == 0 || n != len(errs)-failed {
		t.Errorf("%d are kept, of %d were told that they are not", n, failed)
	}
}

// panicking is a store that ends in a fault of the program.
type panicking struct{ access.Store }

func (panicking) Write(context.Context, func(access.Tx) error) error { panic("a fault") }

// A fault in keeping one is its request's own, and nobody waits for ever.
func TestNoteAfterAPanic(t *testing.T) {
	a, store, _ := ward(t)
	a.Store = panicking{store}
	func() {
		defer func() {
			if recover() == nil {
				t.Error("no fault")
			}
		}()
		a.Note(ctx, access.Console(), access.Origin{}, access.Event{Unit: home, Kind: access.Read})
	}()
	a.Store = store
	fits(t, "note", a.Note(ctx, access.Console(), access.Origin{}, access.Event{Unit: home, Kind: access.Read}))
}

// Who goes away while she waits is not waited for, and nothing of hers is noted later.
func TestNoteIsLeft(t *testing.T) {
	a, store, _ := ward(t)
	s := &slow{Store: store, begun: make(chan struct{}, 100), goOn: make(chan struct{})}
	a.Store = s
	note := func(ctx context.Context, what string) error {
		return a.Note(ctx, access.Console(), access.Origin{}, access.Event{Unit: home, Kind: access.Read, What: what})
	}
	var first sync.WaitGroup
	first.Go(func() { note(ctx, "first") }) // its event tells
	<-s.begun
	while, leave := context.WithTimeout(ctx, 10*time.Millisecond)
	defer leave()
	is(t, "left", note(while, "left"), context.DeadlineExceeded)
	close(s.goOn)
	first.Wait()
	fits(t, "next", note(ctx, "next"))
	var all []string
	for _, e := range events(t, a, home, access.Read) {
		all = append(all, e.What)
	}
	if got := fmt.Sprint(all); got != "[first next]" {
		t.Error(got)
	}
}

// Who went away is not waited for.
func TestNoteIsCancelled(t *testing.T) {
	a, _, _ := ward(t)
	gone, cancel := context.WithCancel(ctx)
	cancel()
	is(t, "gone", a.Note(gone, access.Console(), access.Origin{}, access.Event{Unit: home, Kind: access.Read}), context.Canceled)
}

// A page that asks by itself keeps no session open; one that is used stays.
func TestGlance(t *testing.T) {
	a, _, clock := ward(t)
	watched, used := accesstest.In(t, a, "maeve").Token, accesstest.In(t, a, "olga").Token
	const every = time.Minute
	for range access.DefaultLimits.Idle/every - 1 {
		clock.Move(every)
		who, err := a.Glance(ctx, watched)
		fits(t, "glance", err)
		if who.Name != "maeve" || !who.May(home, access.Chart) {
			t.Fatalf("%+v", who)
		}
		session(t, a, used)
	}
	clock.Move(every)
	_, err := a.Glance(ctx, watched)
	is(t, "nobody used it", err, access.ErrNoSession)
	_, err = a.Session(ctx, watched)
	is(t, "nor does it come back", err, access.ErrNoSession)
	_, err = a.Glance(ctx, used)
	fits(t, "somebody uses it", err)
	_, err = a.Glance(ctx, "none")
	is(t, "no token", err, access.ErrNoSession)
	fits(t, "lock", a.Lock(ctx, access.Console(), access.Origin{}, "olga", true))
	_, err = a.Glance(ctx, used)
	is(t, "locked", err, access.ErrNoSession)
}
