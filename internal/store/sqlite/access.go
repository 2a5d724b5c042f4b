package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"time"

	"cotline/internal/access"
	"cotline/internal/journal"
)

// accessStore is what is kept of people and programs, in the record's file.
type accessStore struct{ s *Store }

// Access is what is kept of people and programs beside the record.
func (s *Store) Access() access.Store { return accessStore{s} }

// Write keeps the contract of access.Store.
func (a accessStore) Write(ctx context.Context, do func(access.Tx) error) error {
	if a.s.remove != "" {
		return journal.ErrReadOnly
	}
	if err := a.s.upToDate(ctx); err != nil {
		return err
	}
	done, err := a.s.turns(ctx)
	if err != nil {
		return err
	}
	defer done()
	marks, err := readHead(marksOf(a.s.path))
	if err != nil {
		return err
	}
	t, err := a.s.db.BeginTx(ctx, nil) // immediate, by _txlock
	if err != nil {
		return told(err)
	}
	defer t.Rollback() // after a commit there is nothing to undo
	x := &accessTx{tx: &tx{ctx: ctx, tx: t, version: newest, statements: map[string]*sql.Stmt{}}, marks: marks, traced: map[string]bool{}}
	if err := do(x); err != nil {
		return err
	}
	if err := t.Commit(); err != nil {
		return told(err)
	}
	if len(x.traced) > 0 {
		a.witness(x.traced)
	}
	return nil
}

// witness writes where traces end, with no other writer in the record. What was committed
// is durable all the same: a mark that could not be written stays behind its trace, which is
// no loss, and the next one moves it.
func (a accessStore) witness(units map[string]bool) {
	ctx := context.Background()
	t, err := a.s.db.BeginTx(ctx, nil)
	if err != nil {
		return
	}
	defer t.Rollback() // nothing was written
	x := &accessTx{tx: &tx{ctx: ctx, tx: t, version: newest, statements: map[string]*sql.Stmt{}}}
	for unit := range units {
		if head, err := x.TraceHead(unit); err == nil {
			writeHead(marksOf(a.s.path), unit, head) // see above
		}
	}
}

// Read keeps the contract of access.Store. Of older tables nothing is kept.
func (a accessStore) Read(ctx context.Context, do func(access.View) error) error {
	marks, err := readHead(marksOf(a.s.path))
	if err != nil {
		return err
	}
	t, err := a.s.db.BeginTx(ctx, &sql.TxOptions{ReadOnly: true}) // deferred: a snapshot
	if err != nil {
		return told(err)
	}
	defer t.Rollback() // nothing was written
	x := &tx{ctx: ctx, tx: t, statements: map[string]*sql.Stmt{}}
	var there bool
	const asks = "SELECT EXISTS (SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'access_item')"
	if err := x.row(asks).Scan(&there); err != nil {
		return damaged(err)
	}
	if !there {
		return do(nothing{})
	}
	return do(&accessTx{tx: x, marks: marks})
}

// accessTx is a transaction on people and programs.
type accessTx struct {
	*tx
	marks  headFile
	traced map[string]bool // units of which rows were added
}

const itemColumns = "unit, kind, key, owner, until, body"

func scanItem(s scanner) (i access.Item, err error) {
	var until int64
	err = s.Scan(&i.Unit, &i.Kind, &i.Key, &i.Owner, &until, &i.Body)
	if until > 0 {
		i.Until = time.Unix(until, 0).UTC()
	}
	return i, err
}

func (t *accessTx) Get(kind, key string) (access.Item, bool, error) {
	i, err := scanItem(t.row("SELECT "+itemColumns+" FROM access_item WHERE kind = ? AND key = ?", kind, key))
	if errors.Is(err, sql.ErrNoRows) {
		return access.Item{}, false, nil
	}
	return i, err == nil, damaged(err)
}

func (t *accessTx) List(kind, owner string) ([]access.Item, error) {
	if owner == "" {
		return all(t.tx, scanItem, "SELECT "+itemColumns+" FROM access_item WHERE kind = ? ORDER BY key", kind)
	}
	return all(t.tx, scanItem, "SELECT "+itemColumns+" FROM access_item WHERE kind = ? AND owner = ? ORDER BY key", kind, owner)
}

func (t *accessTx) TraceHead(unit string) (journal.Head, error) {
	return t.head("SELECT position, chain FROM trace WHERE unit = ? ORDER BY position DESC LIMIT 1", unit)
}

func (t *accessTx) Trace(unit string, after int64, do func(access.Traced) error) error {
	scan := func(s scanner) (r access.Traced, err error) {
		var chain []byte
		if err = s.Scan(&r.Position, &r.Text, &chain); err != nil {
			return r, err
		}
		return r, hash(&r.Chain, chain)
	}
	return each(t.tx, scan, do, "SELECT position, text, chain FROM trace WHERE unit = ? AND position > ? ORDER BY position", unit, after)
}

func (t *accessTx) TraceUnits() ([]string, error) {
	return all(t.tx, scanText, "SELECT DISTINCT unit FROM trace ORDER BY unit")
}

func (t *accessTx) Put(i access.Item) error {
	var until int64
	if !i.Until.IsZero() {
		until = i.Until.Add(time.Second - time.Nanosecond).Unix() // never sooner
	}
	return t.exec("INSERT INTO access_item ("+itemColumns+") VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (kind, key) DO UPDATE SET "+
		"unit = excluded.unit, owner = excluded.owner, until = excluded.until, body = excluded.body",
		i.Unit, i.Kind, i.Key, i.Owner, until, i.Body)
}

func (t *accessTx) Remove(kind, key string) error {
	return t.exec("DELETE FROM access_item WHERE kind = ? AND key = ?", kind, key)
}

func (t *accessTx) Sweep(now time.Time) error {
	return t.exec("DELETE FROM access_item WHERE until > 0 AND until <= ?", now.Unix())
}

func (t *accessTx) TraceMark(unit string) (journal.Mark, error) { return t.marks.mark(unit), nil }

func (t *accessTx) AppendTrace(unit string, r access.Traced) error {
	t.traced[unit] = true
	return t.exec("INSERT INTO trace (unit, position, text, chain) VALUES (?, ?, ?, ?)", unit, r.Position, r.Text, r.Chain[:])
}

// nothing is what is kept in tables of before.
type nothing struct{}

func (nothing) Get(string, string) (access.Item, bool, error)        { return access.Item{}, false, nil }
func (nothing) List(string, string) ([]access.Item, error)           { return nil, nil }
func (nothing) TraceHead(string) (journal.Head, error)               { return journal.Head{}, nil }
func (nothing) Trace(string, int64, func(access.Traced) error) error { return nil }
func (nothing) TraceMark(string) (journal.Mark, error)               { return journal.Mark{}, nil }
func (nothing) TraceUnits() ([]string, error)                        { return nil, nil }
