package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"cotline/internal/journal"
)

// tx is one unit's journal within a transaction.
type tx struct {
	ctx  context.Context
	tx   *sql.Tx
	unit string
}

// columns of a row, in the order of scan.
const columns = "position, id, infant, kind, text, accepted, chain"

type scanner interface{ Scan(...any) error }

func scan(s scanner) (journal.Row, error) {
	var r journal.Row
	var chain []byte
	if err := s.Scan(&r.Position, &r.ID, &r.Infant, &r.Kind, &r.Text, &r.Accepted, &chain); err != nil {
		return r, err
	}
	if err := hash(&r.Chain, chain); err != nil {
		return r, fmt.Errorf("position %d: %w", r.Position, err)
	}
	return r, nil
}

func hash(to *journal.Hash, from []byte) error {
	if len(from) != len(to) {
		return fmt.Errorf("%w: a link of %d bytes", journal.ErrDamaged, len(from))
	}
	copy(to[:], from)
	return nil
}

func (t *tx) Head() (journal.Head, error) {
	var h journal.Head
	var chain []byte
	err := t.tx.QueryRowContext(t.ctx, "SELECT position, chain FROM journal WHERE unit = ? ORDER BY position DESC LIMIT 1", t.unit).Scan(&h.Position, &chain)
	if errors.Is(err, sql.ErrNoRows) {
		return h, nil
	}
	if err != nil {
		return h, told(err)
	}
	return h, hash(&h.Chain, chain)
}

func (t *tx) Rows(do func(journal.Row) error) error {
	return t.each(do, "SELECT "+columns+" FROM journal WHERE unit = ? ORDER BY position", t.unit)
}

func (t *tx) Infant(key string) ([]journal.Row, error) {
	var out []journal.Row
	err := t.each(func(r journal.Row) error { out = append(out, r); return nil },
		"SELECT "+columns+" FROM journal WHERE unit = ? AND infant = ? ORDER BY position", t.unit, key)
	return out, err
}

func (t *tx) each(do func(journal.Row) error, query string, args ...any) error {
	rows, err := t.tx.QueryContext(t.ctx, query, args...)
	if err != nil {
		return told(err)
	}
	defer rows.Close()
	for rows.Next() {
		r, err := scan(rows)
		if err != nil {
			return told(err)
		}
		if err := do(r); err != nil {
			return err
		}
	}
	return told(rows.Err())
}

func (t *tx) Row(id string) (journal.Row, bool, error) {
	r, err := scan(t.tx.QueryRowContext(t.ctx, "SELECT "+columns+" FROM journal WHERE unit = ? AND id = ?", t.unit, id))
	if errors.Is(err, sql.ErrNoRows) {
		return r, false, nil
	}
	return r, err == nil, told(err)
}

func (t *tx) Keys() ([]string, error) {
	return t.texts("SELECT DISTINCT infant FROM journal WHERE unit = ? AND infant <> ''")
}

func (t *tx) Policies() ([]string, error) {
	return t.texts("SELECT hash FROM policy WHERE unit = ? ORDER BY hash")
}

// texts are the first column of a query by unit.
func (t *tx) texts(query string) ([]string, error) {
	rows, err := t.tx.QueryContext(t.ctx, query, t.unit)
	if err != nil {
		return nil, told(err)
	}
	defer rows.Close()
	var out []string
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			return nil, told(err)
		}
		out = append(out, s)
	}
	return out, told(rows.Err())
}

func (t *tx) Policy(hash string) (string, bool, error) {
	var text string
	err := t.tx.QueryRowContext(t.ctx, "SELECT text FROM policy WHERE unit = ? AND hash = ?", t.unit, hash).Scan(&text)
	if errors.Is(err, sql.ErrNoRows) {
		return "", false, nil
	}
	return text, err == nil, told(err)
}

const signedColumns = "id, position, chain, policy, engine, digest, json"

func (t *tx) Signed(id string) (journal.Signed, bool, error) {
	var s journal.Signed
	var chain, packed []byte
	err := t.tx.QueryRowContext(t.ctx, "SELECT "+signedColumns+" FROM signed WHERE unit = ? AND id = ?", t.unit, id).
		Scan(&s.ID, &s.Position, &chain, &s.Policy, &s.Engine, &s.Digest, &packed)
	if errors.Is(err, sql.ErrNoRows) {
		return s, false, nil
	}
	if err != nil {
		return s, false, told(err)
	}
	s.JSON = unpack(packed)
	return s, true, hash(&s.Chain, chain)
}

func (t *tx) Cuts() (map[string]int64, error) {
	rows, err := t.tx.QueryContext(t.ctx, "SELECT id, position FROM signed WHERE unit = ?", t.unit)
	if err != nil {
		return nil, told(err)
	}
	defer rows.Close()
	out := map[string]int64{}
	for rows.Next() {
		var id string
		var position int64
		if err := rows.Scan(&id, &position); err != nil {
			return nil, told(err)
		}
		out[id] = position
	}
	return out, told(rows.Err())
}

func (t *tx) Append(rows []journal.Row) error {
	insert, err := t.tx.PrepareContext(t.ctx, "INSERT INTO journal (unit, "+columns+") VALUES (?, ?, ?, ?, ?, ?, ?, ?)")
	if err != nil {
		return told(err)
	}
	defer insert.Close()
	for _, r := range rows {
		if _, err := insert.ExecContext(t.ctx, t.unit, r.Position, r.ID, r.Infant, r.Kind, r.Text, r.Accepted, r.Chain[:]); err != nil {
			return told(err)
		}
	}
	return nil
}

func (t *tx) KeepPolicy(hash, text string) error {
	_, err := t.tx.ExecContext(t.ctx, "INSERT INTO policy (unit, hash, text) VALUES (?, ?, ?) ON CONFLICT DO NOTHING", t.unit, hash, text)
	return told(err)
}

func (t *tx) KeepSigned(s journal.Signed) error {
	packed, err := pack(s.JSON)
	if err != nil {
		return err
	}
	_, err = t.tx.ExecContext(t.ctx, "INSERT INTO signed (unit, "+signedColumns+") VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
		t.unit, s.ID, s.Position, s.Chain[:], s.Policy, s.Engine, s.Digest, packed)
	return told(err)
}
