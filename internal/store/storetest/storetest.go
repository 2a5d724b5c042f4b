// Package storetest is the suite that every driver of journal.Store passes.
package storetest

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/internal/journal"
)

// New makes an empty store and returns how to open it, each time anew. What it
// opens is closed by the test's end at the latest.
type New func(t *testing.T) (open func() journal.Store)

// Run holds a driver to the contract.
func Run(t *testing.T, fresh New) {
	for name, test := range map[string]func(*testing.T, func() journal.Store){
		"empty":               empty,
		"rows come back":      rowsComeBack,
		"reads what it wrote": readsItsOwn,
		"error keeps nothing": errorKeepsNothing,
		"panic keeps nothing": panicKeepsNothing,
		"ended context":       endedContext,
		"units are apart":     unitsApart,
		"positions follow":    positionsFollow,
		"an id once":          idOnce,
		"policies and signed": policiesAndSigned,
		"top and nodes":       topAndNodes,
		"links":               links,
		"mark":                mark,
		"salvage":             salvage,
		"one state":           oneState,
		"writers take turns":  writersTakeTurns,
		"random work":         randomWork,
		"sound":               sound,
	} {
		t.Run(name, func(t *testing.T) { test(t, fresh(t)) })
	}
}

const unit = "moonwort"

var ctx = context.Background()

// row is the nth row after a head, with some text.
func row(h journal.Head, id, infant, text string) journal.Row {
	return journal.Row{
		Position: h.Position + 1, ID: id, Infant: infant, Kind: "note", Text: text,
		Accepted: "2026-10-25T07:30:00.123456789+01:00", Chain: h.Chain.Next(text),
	}
}

// uuid is an id that ends in n.
func uuid(n int) string { return fmt.Sprintf("00000000-0000-4000-8000-%012d", n) }

// add appends one row after the head.
func add(tx journal.Tx, id, infant, text string) (journal.Row, error) {
	h, err := tx.Head()
	if err != nil {
		return journal.Row{}, err
	}
	r := row(h, id, infant, text)
	return r, tx.Append([]journal.Row{r})
}

func write(t testing.TB, s journal.Store, unit string, do func(journal.Tx) error) {
	t.Helper()
	if err := s.Write(ctx, unit, do); err != nil {
		t.Fatal(err)
	}
}

// all are the rows of a unit.
func all(t testing.TB, s journal.Store, unit string) (out []journal.Row) {
	t.Helper()
	err := s.Read(ctx, unit, func(v journal.View) error {
		return v.Rows(func(r journal.Row) error { out = append(out, r); return nil })
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func same(t testing.TB, what string, got, want any) {
	t.Helper()
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("%s (-want +got)\n%s", what, diff)
	}
}

func empty(t *testing.T, open func() journal.Store) {
	err := open().Read(ctx, unit, func(v journal.View) error {
		head, err := v.Head()
		same(t, "head", head, journal.Head{})
		_, found, err2 := v.At(1)
		_, policy, err3 := v.Policy(strings.Repeat("a", 64))
		_, signed, err4 := v.Signed(uuid(1))
		top, err5 := v.Top()
		node, err6 := v.Node(1)
		if found || policy || signed || top != nil || node != nil {
			t.Error("something is found in nothing")
		}
		cuts, err7 := v.Cuts()
		if len(cuts) > 0 {
			t.Error("something is listed of nothing")
		}
		err7 = errors.Join(err7, v.Stream("a", func(journal.Row) error { return errors.New("a row of nothing") }),
			v.Links(func(string, int64, int64) error { return errors.New("a link of nothing") }),
			v.Nodes(func(int64, []byte) error { return errors.New("a node of nothing") }))
		return errors.Join(err, err2, err3, err4, err5, err6, err7)
	})
	if err != nil {
		t.Error(err)
	}
}

func rowsComeBack(t *testing.T, open func() journal.Store) {
	s := open()
	texts := []string{`{"text":"plain"}`, `{"text":"O'Neil \"x\"; DROP TABLE journal; --"}`,
		"{\"text\":\"e\u0301 \u2028 \U0001F600 שלום\"}", `{"text":"` + strings.Repeat("x", 1<<20) + `"}`}
	var want []journal.Row
	for i, text := range texts {
		write(t, s, unit, func(tx journal.Tx) error {
			r, err := add(tx, uuid(i), fmt.Sprint("in-", i%2), text)
			want = append(want, r)
			return err
		})
	}
	if err := s.Close(); err != nil {
		t.Fatal(err)
	}
	s = open()
	same(t, "rows", all(t, s, unit), want)
	err := s.Read(ctx, unit, func(v journal.View) error {
		head, err := v.Head()
		same(t, "head", head, journal.Head{Position: 4, Chain: want[3].Chain})
		r, found, err2 := v.At(2)
		same(t, "row", r, want[1])
		same(t, "found", found, true)
		return errors.Join(err, err2)
	})
	if err != nil {
		t.Error(err)
	}
}

func readsItsOwn(t *testing.T, open func() journal.Store) {
	write(t, open(), unit, func(tx journal.Tx) error {
		want, err := add(tx, uuid(1), "a", "{}")
		if err != nil {
			return err
		}
		got, found, err := tx.At(1)
		same(t, "row", got, want)
		same(t, "found", found, true)
		return err
	})
}

func errorKeepsNothing(t *testing.T, open func() journal.Store) {
	s := open()
	wrong := errors.New("thought better of it")
	err := s.Write(ctx, unit, func(tx journal.Tx) error {
		if _, err := add(tx, uuid(1), "a", "{}"); err != nil {
			return err
		}
		if err := tx.KeepPolicy(strings.Repeat("a", 64), "{}"); err != nil {
			return err
		}
		return wrong
	})
	if !errors.Is(err, wrong) {
		t.Errorf("got %v", err)
	}
	same(t, "rows", all(t, s, unit), []journal.Row(nil))
	s.Read(ctx, unit, func(v journal.View) error {
		hashes, _ := v.Policies()
		same(t, "policies", len(hashes), 0)
		return nil
	})
}

func panicKeepsNothing(t *testing.T, open func() journal.Store) {
	s := open()
	func() {
		defer func() { recover() }()
		s.Write(ctx, unit, func(tx journal.Tx) error {
			add(tx, uuid(1), "a", "{}")
			panic("a fault of the program")
		})
	}()
	write(t, s, unit, func(tx journal.Tx) error { _, err := add(tx, uuid(2), "a", "{}"); return err })
	same(t, "rows", len(all(t, s, unit)), 1)
}

func endedContext(t *testing.T, open func() journal.Store) {
	s := open()
	ended, end := context.WithCancel(ctx)
	err := s.Write(ended, unit, func(tx journal.Tx) error {
		_, err := add(tx, uuid(1), "a", "{}")
		end()
		return err
	})
	if err == nil {
		t.Error("kept in a context that had ended")
	}
	same(t, "rows", len(all(t, s, unit)), 0)
}

func unitsApart(t *testing.T, open func() journal.Store) {
	s := open()
	for _, u := range []string{"a", "b"} {
		write(t, s, u, func(tx journal.Tx) error { _, err := add(tx, uuid(1), "x", `{"unit":"`+u+`"}`); return err })
	}
	for _, u := range []string{"a", "b"} {
		rows := all(t, s, u)
		if len(rows) != 1 || rows[0].Position != 1 || rows[0].Text != `{"unit":"`+u+`"}` {
			t.Errorf("unit %s: %v", u, rows)
		}
	}
	same(t, "rows of nobody", len(all(t, s, "A")), 0)
}

func positionsFollow(t *testing.T, open func() journal.Store) {
	s := open()
	write(t, s, unit, func(tx journal.Tx) error { _, err := add(tx, uuid(1), "a", "{}"); return err })
	for _, at := range []int64{-1, 0, 1, 3} {
		err := s.Write(ctx, unit, func(tx journal.Tx) error {
			r := row(journal.Head{}, uuid(2), "a", "{}")
			r.Position = at
			return tx.Append([]journal.Row{r})
		})
		if err == nil {
			t.Errorf("position %d after 1 is taken", at)
		}
	}
	same(t, "rows", len(all(t, s, unit)), 1)
}

func idOnce(t *testing.T, open func() journal.Store) {
	s := open()
	write(t, s, unit, func(tx journal.Tx) error { _, err := add(tx, uuid(1), "a", "{}"); return err })
	err := s.Write(ctx, unit, func(tx journal.Tx) error { _, err := add(tx, uuid(1), "b", "{}"); return err })
	if err == nil {
		t.Error("an id is taken twice")
	}
	same(t, "rows", len(all(t, s, unit)), 1)
}

func policiesAndSigned(t *testing.T, open func() journal.Store) {
	s := open()
	hash := strings.Repeat("ab", 32)
	want := journal.Signed{ID: uuid(1), Position: 1, Policy: hash, Engine: "1", Digest: strings.Repeat("0", 64), Form: journal.Named,
		JSON: []byte("{\"a\":\"\\u0000\"}\n")}
	for range 2 { // a policy in force twice is kept once
		write(t, s, unit, func(tx journal.Tx) error { return tx.KeepPolicy(hash, `{"unit":"x"}`) })
	}
	inForce := []journal.InForce{{From: 1, Accepted: "a", Policy: hash}, {From: 1, Accepted: "b", Policy: hash}}
	for _, u := range []string{unit, "another"} {
		for _, f := range inForce {
			write(t, s, u, func(tx journal.Tx) error { return errors.Join(tx.KeepPolicy(hash, `{"unit":"x"}`), tx.PutInForce(f)) })
		}
	}
	if err := s.Write(ctx, unit, func(tx journal.Tx) error {
		return tx.PutInForce(journal.InForce{From: 1, Policy: strings.Repeat("0", 64)})
	}); err == nil {
		t.Error("a policy that is not kept is put in force")
	}
	write(t, s, unit, func(tx journal.Tx) error {
		r, err := add(tx, uuid(1), "", "{}")
		if err != nil {
			return err
		}
		want.Chain = r.Chain
		return tx.KeepSigned(want)
	})
	s.Close()
	err := open().Read(ctx, unit, func(v journal.View) error {
		got, found, err := v.Signed(uuid(1))
		same(t, "signed", got, want)
		same(t, "found", found, true)
		cuts, err2 := v.Cuts()
		want.JSON = nil
		same(t, "cuts", cuts, []journal.Signed{want})
		text, found, err3 := v.Policy(hash)
		same(t, "policy", text, `{"unit":"x"}`)
		same(t, "found", found, true)
		hashes, err4 := v.Policies()
		same(t, "hashes", hashes, []string{hash})
		put, err5 := v.InForce()
		same(t, "in force", put, inForce)
		return errors.Join(err, err2, err3, err4, err5)
	})
	if err != nil {
		t.Error(err)
	}
}

func topAndNodes(t *testing.T, open func() journal.Store) {
	s := open()
	for n := range 3 { // each in place of the one before
		write(t, s, unit, func(tx journal.Tx) error {
			return errors.Join(tx.SetTop([]byte{byte(n)}), tx.PutNode(1, []byte{byte(n), 0}), tx.PutNode(int64(n+2), []byte{9}))
		})
	}
	s.Close()
	s = open()
	err := s.Read(ctx, unit, func(v journal.View) error {
		top, err := v.Top()
		same(t, "top", top, []byte{2})
		node, err2 := v.Node(1)
		same(t, "node", node, []byte{2, 0})
		var all []string
		err3 := v.Nodes(func(id int64, body []byte) error { all = append(all, fmt.Sprint(id, body)); return nil })
		same(t, "nodes", all, []string{"1 [2 0]", "2 [9]", "3 [9]", "4 [9]"})
		stopped := errors.New("stopped")
		same(t, "of do", errors.Is(v.Nodes(func(int64, []byte) error { return stopped }), stopped), true)
		return errors.Join(err, err2, err3)
	})
	if err != nil {
		t.Error(err)
	}
	err = s.Read(ctx, "another", func(v journal.View) error {
		top, err := v.Top()
		node, err2 := v.Node(1)
		same(t, "another unit's", append(top, node...), []byte(nil))
		err3 := v.Nodes(func(int64, []byte) error { return errors.New("another unit's node") })
		return errors.Join(err, err2, err3)
	})
	if err != nil {
		t.Error(err)
	}
}

// The mark is where the unit ended when it was last written to.
func mark(t *testing.T, open func() journal.Store) {
	s := open()
	of := func(unit string) (m journal.Mark) {
		err := s.Read(ctx, unit, func(v journal.View) (err error) { m, err = v.Mark(); return err })
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	same(t, "before", of(unit), journal.Mark{})
	for n := range 3 {
		var want journal.Row
		write(t, s, unit, func(tx journal.Tx) (err error) { want, err = add(tx, uuid(n), "a", "{}"); return err })
		write(t, s, "another", func(tx journal.Tx) error { _, err := add(tx, uuid(n), "a", "{}"); return err })
		same(t, "mark", of(unit), journal.Mark{Head: journal.Head{Position: want.Position, Chain: want.Chain}, State: journal.Marked})
	}
	s.Close()
	s = open()
	same(t, "opened again", of(unit).Position, int64(3))
}

func salvage(t *testing.T, open func() journal.Store) {
	s := open()
	for n := range 3 {
		for _, unit := range []string{unit, "another"} {
			write(t, s, unit, func(tx journal.Tx) error { _, err := add(tx, uuid(n), "a", "{}"); return err })
		}
	}
	got := map[int64]int{}
	passed, err := s.Salvage(ctx, unit, 2, func(r journal.Row) { got[r.Position]++ })
	if err != nil || passed != 0 {
		t.Error(passed, err)
	}
	same(t, "salvaged", got, map[int64]int{1: 1, 2: 1, 3: 1})
}

// A stream's rows come in the order of its links, whatever their positions.
func links(t *testing.T, open func() journal.Store) {
	s := open()
	write(t, s, unit, func(tx journal.Tx) error {
		for n := range 4 {
			if _, err := add(tx, uuid(n), "a", "{}"); err != nil {
				return err
			}
		}
		return errors.Join(tx.Link("a", 0, []int64{3, 1}), tx.Link("b", 0, []int64{4}))
	})
	write(t, s, unit, func(tx journal.Tx) error {
		return errors.Join(tx.Link("a", 2, []int64{2}), tx.Link("b", 0, []int64{1, 2}), tx.Link("b", 1, []int64{3}))
	})
	err := s.Read(ctx, unit, func(v journal.View) error {
		got := map[string][]int64{}
		err := v.Stream("a", func(r journal.Row) error { got["stream a"] = append(got["stream a"], r.Position); return nil })
		err2 := v.Links(func(stream string, n, position int64) error {
			if n != int64(len(got[stream]))+1 {
				t.Errorf("link %d of %s after %d", n, stream, len(got[stream]))
			}
			got[stream] = append(got[stream], position)
			return nil
		})
		same(t, "links", got, map[string][]int64{"stream a": {3, 1, 2}, "a": {3, 1, 2}, "b": {1, 3}})
		return errors.Join(err, err2)
	})
	if err != nil {
		t.Error(err)
	}
}

// A reader sees one state, whatever is written meanwhile, and keeps no writer
// waiting.
func oneState(t *testing.T, open func() journal.Store) {
	s := open()
	write(t, s, unit, func(tx journal.Tx) error { _, err := add(tx, uuid(1), "a", "{}"); return err })
	err := s.Read(ctx, unit, func(v journal.View) error {
		before, err := v.Head()
		if err != nil {
			return err
		}
		write(t, s, unit, func(tx journal.Tx) error { _, err := add(tx, uuid(2), "a", "{}"); return err })
		after, err := v.Head()
		same(t, "head", after, before)
		_, found, err2 := v.At(2)
		same(t, "found", found, false)
		return errors.Join(err, err2)
	})
	if err != nil {
		t.Error(err)
	}
	same(t, "rows", len(all(t, s, unit)), 2)
}

// Writers read the head, then write: without a lock from the start, two would
// take one position.
func writersTakeTurns(t *testing.T, open func() journal.Store) {
	const writers, each = 6, 10
	var wg sync.WaitGroup
	failed := make(chan error, writers*each)
	for w := range writers {
		s := open()
		wg.Go(func() {
			for i := range each {
				failed <- s.Write(ctx, unit, func(tx journal.Tx) error {
					_, err := add(tx, uuid(w*each+i), "a", fmt.Sprintf(`{"n":%d}`, w*each+i))
					return err
				})
			}
		})
	}
	wg.Wait()
	close(failed)
	for err := range failed {
		if err != nil {
			t.Error(err)
		}
	}
	var last journal.Head
	for _, r := range all(t, open(), unit) {
		if r.Position != last.Position+1 || r.Chain != last.Chain.Next(r.Text) {
			t.Fatalf("position %d does not follow %d", r.Position, last.Position)
		}
		last = journal.Head{Position: r.Position, Chain: r.Chain}
	}
	same(t, "rows", last.Position, int64(writers*each))
}

func sound(t *testing.T, open func() journal.Store) {
	s := open()
	write(t, s, unit, func(tx journal.Tx) error { _, err := add(tx, uuid(1), "a", "{}"); return err })
	if err := s.Check(ctx); err != nil {
		t.Error(err)
	}
}
