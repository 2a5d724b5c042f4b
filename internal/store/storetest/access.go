package storetest

import (
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/journal"
)

// NewAccess makes an empty store and returns how to open it, each time anew.
type NewAccess func(t *testing.T) (open func() access.Store)

// RunAccess holds a driver to the contract of access.Store.
func RunAccess(t *testing.T, fresh NewAccess) {
	for name, test := range map[string]func(*testing.T, func() access.Store){
		"empty":               noItems,
		"items come back":     itemsComeBack,
		"items are replaced":  itemsReplaced,
		"items are listed":    itemsListed,
		"items are swept":     itemsSwept,
		"error keeps nothing": accessErrorKeepsNothing,
		"panic keeps nothing": accessPanicKeepsNothing,
		"trace follows":       traceFollows,
		"traces are apart":    tracesApart,
		"mark of a trace":     traceMark,
		"one state":           accessOneState,
		"writers take turns":  accessTurns,
	} {
		t.Run(name, func(t *testing.T) { test(t, fresh(t)) })
	}
}

func writeAccess(t testing.TB, s access.Store, do func(access.Tx) error) {
	t.Helper()
	if err := s.Write(ctx, do); err != nil {
		t.Fatal(err)
	}
}

func readAccess(t testing.TB, s access.Store, do func(access.View) error) {
	t.Helper()
	if err := s.Read(ctx, do); err != nil {
		t.Fatal(err)
	}
}

func get(t testing.TB, s access.Store, kind, key string) (item access.Item, found bool) {
	t.Helper()
	readAccess(t, s, func(v access.View) (err error) { item, found, err = v.Get(kind, key); return err })
	return item, found
}

func traced(h journal.Head, text string) access.Traced {
	return access.Traced{Position: h.Position + 1, Text: text, Chain: h.Chain.Next(text)}
}

func addTrace(tx access.Tx, unit, text string) error {
	h, err := tx.TraceHead(unit)
	if err != nil {
		return err
	}
	return tx.AppendTrace(unit, traced(h, text))
}

func traceOf(t testing.TB, s access.Store, unit string, after int64) (out []access.Traced) {
	t.Helper()
	readAccess(t, s, func(v access.View) error {
		return v.Trace(unit, after, func(r access.Traced) error { out = append(out, r); return nil })
	})
	return out
}

func noItems(t *testing.T, open func() access.Store) {
	readAccess(t, open(), func(v access.View) error {
		_, found, err := v.Get("person", "maeve")
		all, err2 := v.List("person", "")
		head, err3 := v.TraceHead(unit)
		units, err4 := v.TraceUnits()
		if found || len(all) > 0 || head != (journal.Head{}) || len(units) > 0 {
			t.Error("something is found in nothing")
		}
		err5 := v.Trace(unit, 0, func(access.Traced) error { return errors.New("a row of nothing") })
		return errors.Join(err, err2, err3, err4, err5)
	})
}

func itemsComeBack(t *testing.T, open func() access.Store) {
	want := []access.Item{
		{Unit: "fern", Kind: "person", Key: "o'neil\x7f; DROP TABLE", Owner: "ø", Body: []byte{0, 1, 255}},
		{
			Unit:  "moss",
			Kind:  "link",
			Key:   strings.Repeat("k", 500),
			Until: time.Unix(1795800000, 0).UTC(),
			Body:  []byte(strings.Repeat("x", 1<<17)),
		},
	}
	s := open()
	writeAccess(t, s, func(tx access.Tx) error {
		for _, i := range want {
			if err := tx.Put(i); err != nil {
				return err
			}
		}
		got, _, err := tx.Get("person", want[0].Key)
		same(t, "read in its own transaction", got, want[0])
		return err
	})
	s = open()
	for _, i := range want {
		got, found := get(t, s, i.Kind, i.Key)
		same(t, "item", got, i)
		same(t, "found", found, true)
	}
}

// An item is one by kind and key, whatever unit it comes to belong to. Until is kept to the
// second, never sooner than was asked.
func itemsReplaced(t *testing.T, open func() access.Store) {
	s := open()
	until := time.Unix(1795800000, 1).UTC()
	for _, i := range []access.Item{{Unit: "fern", Kind: "a", Key: "k", Owner: "x", Body: []byte("1")},
		{Unit: "moss", Kind: "a", Key: "k", Owner: "y", Until: until, Body: []byte("2")}} {
		writeAccess(t, s, func(tx access.Tx) error { return tx.Put(i) })
	}
	got, _ := get(t, s, "a", "k")
	same(
		t,
		"item",
		got,
		access.Item{Unit: "moss", Kind: "a", Key: "k", Owner: "y", Until: time.Unix(1795800001, 0).UTC(), Body: []byte("2")},
	)
	writeAccess(t, s, func(tx access.Tx) error { return errors.Join(tx.Remove("a", "k"), tx.Remove("a", "none")) })
	if _, found := get(t, s, "a", "k"); found {
		t.Error("it is there")
	}
}

func itemsListed(t *testing.T, open func() access.Store) {
	s := open()
	writeAccess(t, s, func(tx access.Tx) error {
		for i, owner := range []string{"y", "x", "y"} {
			if err := tx.Put(access.Item{
				Unit: fmt.Sprint(i), Kind: "a", Key: fmt.Sprint(9 - i), Owner: owner, Body: []byte("{}"),
			}); err != nil {
				return err
			}
		}
		return tx.Put(access.Item{Unit: "u", Kind: "b", Key: "7", Owner: "y", Body: []byte("{}")})
	})
	readAccess(t, s, func(v access.View) error {
		keys := func(items []access.Item) (out string) {
			for _, i := range items {
				out += i.Key
			}
			return out
		}
		all, err := v.List("a", "")
		mine, err2 := v.List("a", "y")
		same(t, "all", keys(all), "789")
		same(t, "of one owner", keys(mine), "79")
		return errors.Join(err, err2)
	})
}

func itemsSwept(t *testing.T, open func() access.Store) {
	s, now := open(), time.Unix(1795800000, 0)
	writeAccess(t, s, func(tx access.Tx) error {
		var errs []error
		for key, until := range map[string]time.Time{
			"ever": {}, "now": now, "before": now.Add(-time.Second), "after": now.Add(time.Second),
		} {
			errs = append(errs, tx.Put(access.Item{Unit: "u", Kind: "a", Key: key, Until: until, Body: []byte("{}")}))
		}
		return errors.Join(append(errs, tx.Sweep(now))...)
	})
	for key, want := range map[string]bool{"ever": true, "now": false, "before": false, "after": true} {
		_, found := get(t, s, "a", key)
		same(t, key, found, want)
	}
}

func accessErrorKeepsNothing(t *testing.T, open func() access.Store) {
	s, wrong := open(), errors.New("thought better of it")
	err := s.Write(ctx, func(tx access.Tx) error {
		return errors.Join(tx.Put(access.Item{Unit: "u", Kind: "a", Key: "k", Body: []byte("{}")}), addTrace(tx, unit, "{}"), wrong)
	})
	if !errors.Is(err, wrong) {
		t.Errorf("got %v", err)
	}
	_, found := get(t, s, "a", "k")
	if found || len(traceOf(t, s, unit, 0)) > 0 {
		t.Error("something was kept")
	}
}

func accessPanicKeepsNothing(t *testing.T, open func() access.Store) {
	s := open()
	func() {
		defer func() { recover() }()
		s.Write(ctx, func(tx access.Tx) error {
			tx.Put(access.Item{Unit: "u", Kind: "a", Key: "k", Body: []byte("{}")})
			panic("half way")
		})
	}()
	if _, found := get(t, s, "a", "k"); found {
		t.Error("something was kept")
	}
	writeAccess(t, s, func(tx access.Tx) error { return addTrace(tx, unit, "{}") }) // nobody waits for ever
}

func traceFollows(t *testing.T, open func() access.Store) {
	s := open()
	var want []access.Traced
	var head journal.Head
	for i := range 3 {
		r := traced(head, fmt.Sprintf(`{"what":"%d ø 💧"}`, i))
		writeAccess(t, s, func(tx access.Tx) error { return tx.AppendTrace(unit, r) })
		want, head = append(want, r), journal.Head{Position: r.Position, Chain: r.Chain}
	}
	s = open()
	same(t, "trace", traceOf(t, s, unit, 0), want)
	same(t, "after", traceOf(t, s, unit, 2), want[2:])
	readAccess(t, s, func(v access.View) error {
		got, err := v.TraceHead(unit)
		same(t, "head", got, head)
		return err
	})
	for _, position := range []int64{0, 3, 5} {
		err := s.Write(ctx, func(tx access.Tx) error { return tx.AppendTrace(unit, access.Traced{Position: position, Text: "{}"}) })
		if err == nil {
			t.Errorf("position %d was taken after 3", position)
		}
	}
}

func tracesApart(t *testing.T, open func() access.Store) {
	s := open()
	writeAccess(t, s, func(tx access.Tx) error {
		return errors.Join(addTrace(tx, "moss", "1"), addTrace(tx, "fern", "2"), addTrace(tx, "moss", "3"))
	})
	same(t, "moss", len(traceOf(t, s, "moss", 0)), 2)
	same(t, "fern", len(traceOf(t, s, "fern", 0)), 1)
	readAccess(t, s, func(v access.View) error {
		units, err := v.TraceUnits()
		same(t, "units", units, []string{"fern", "moss"})
		return err
	})
}

// The mark is where a trace ended; a driver that has none says so.
func traceMark(t *testing.T, open func() access.Store) {
	s := open()
	of := func(unit string) (m journal.Mark) {
		readAccess(t, s, func(v access.View) (err error) { m, err = v.TraceMark(unit); return err })
		return m
	}
	same(t, "before", of(unit), journal.Mark{})
	for range 3 {
		writeAccess(t, s, func(tx access.Tx) error { return errors.Join(addTrace(tx, unit, "{}"), addTrace(tx, "another", "{}")) })
		rows := traceOf(t, s, unit, 0)
		last := rows[len(rows)-1]
		if m := of(unit); m.State != journal.Unmarked {
			same(t, "mark", m, journal.Mark{Head: journal.Head{Position: last.Position, Chain: last.Chain}, State: journal.Marked})
		}
	}
}

func accessOneState(t *testing.T, open func() access.Store) {
	s := open()
	put := func(body string) {
		writeAccess(t, s, func(tx access.Tx) error {
			return tx.Put(access.Item{Unit: "u", Kind: "a", Key: "k", Body: []byte(body)})
		})
	}
	put("1")
	readAccess(t, s, func(v access.View) error {
		before, _, err := v.Get("a", "k")
		if err != nil {
			return err
		}
		put("2")
		after, _, err := v.Get("a", "k")
		same(t, "item", after, before)
		return err
	})
}

// What is used once is used once, however many try at the same time.
func accessTurns(t *testing.T, open func() access.Store) {
	const writers = 8
	writeAccess(t, open(), func(tx access.Tx) error {
		return tx.Put(access.Item{Unit: "u", Kind: "link", Key: "k", Body: []byte("{}")})
	})
	var wg sync.WaitGroup
	used := make(chan error, writers)
	taken := errors.New("somebody was first")
	for range writers {
		s := open()
		wg.Go(func() {
			used <- s.Write(ctx, func(tx access.Tx) error {
				_, found, err := tx.Get("link", "k")
				if err != nil || !found {
					return errors.Join(err, taken)
				}
				return errors.Join(tx.Remove("link", "k"), addTrace(tx, unit, "{}"))
			})
		})
	}
	wg.Wait()
	close(used)
	first := 0
	for err := range used {
		switch {
		case err == nil:
			first++
		case !errors.Is(err, taken):
			t.Error(err)
		}
	}
	same(t, "how many used it", first, 1)
}
