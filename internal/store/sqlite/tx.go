package sqlite

import (
	"context"
	"database/sql"
	"errors"

	"cotline/internal/journal"
)

// tx is one unit's journal within a transaction.
type tx struct {
	ctx        context.Context
	tx         *sql.Tx
	unit       string
	version    int // of the tables
	mark       journal.Mark
	appended   bool
	statements map[string]*sql.Stmt
}

// A statement is prepared once a transaction: one that looks up many things
// spends its time on them.

func (t *tx) prepared(query string) (*sql.Stmt, error) {
	if s := t.statements[query]; s != nil {
		return s, nil
	}
	s, err := t.tx.PrepareContext(t.ctx, query) // closed with the transaction
	if err != nil {
		return nil, err
	}
	t.statements[query] = s
	return s, nil
}

func (t *tx) query(query string, args ...any) (*sql.Rows, error) {
	s, err := t.prepared(query)
	if err != nil {
		return nil, err
	}
	return s.QueryContext(t.ctx, args...)
}

// each calls do with what is scanned of every row of a query, in its order. A row that cannot
// be scanned is damage; an error of do is told as it is.
func each[T any](t *tx, scan func(scanner) (T, error), do func(T) error, query string, args ...any) error {
	rows, err := t.query(query, args...)
	if err != nil {
		return told(err)
	}
	defer rows.Close()
	for rows.Next() {
		v, err := scan(rows)
		if err != nil {
			return damaged(err)
		}
		if err := do(v); err != nil {
			return err
		}
	}
	return told(rows.Err())
}

// all is what is scanned of the rows of a query, in its order.
func all[T any](t *tx, scan func(scanner) (T, error), query string, args ...any) (out []T, err error) {
	err = each(t, scan, func(v T) error { out = append(out, v); return nil }, query, args...)
	if err != nil {
		return nil, err
	}
	return out, nil
}

// scanText is the one column of a row.
func scanText(s scanner) (text string, err error) {
	err = s.Scan(&text)
	return text, err
}

// row is the one row of a query. A fault in preparing it is found when it is scanned.
func (t *tx) row(query string, args ...any) scanner {
	s, err := t.prepared(query)
	if err != nil {
		return faulty{err}
	}
	return s.QueryRowContext(t.ctx, args...)
}

type faulty struct{ err error }

func (f faulty) Scan(...any) error { return f.err }

// bytes are the first column of the one row of a query, nil when there is none.
func (t *tx) bytes(query string, args ...any) ([]byte, error) {
	var b []byte
	err := t.row(query, args...).Scan(&b)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	return b, damaged(err)
}

// head is the place in a chain that the one row of a query tells, the start when there is none.
func (t *tx) head(query string, args ...any) (h journal.Head, err error) {
	var chain []byte
	err = t.row(query, args...).Scan(&h.Position, &chain)
	if errors.Is(err, sql.ErrNoRows) {
		return h, nil
	}
	if err != nil {
		return h, damaged(err)
	}
	return h, hash(&h.Chain, chain)
}

func (t *tx) exec(query string, args ...any) error {
	s, err := t.prepared(query)
	if err != nil {
		return told(err)
	}
	_, err = s.ExecContext(t.ctx, args...)
	return told(err)
}
