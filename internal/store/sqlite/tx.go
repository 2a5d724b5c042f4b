package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"

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

func (t *tx) Mark() (journal.Mark, error) { return t.mark, nil }

func (t *tx) Head() (journal.Head, error) {
	var h journal.Head
	var chain []byte
	err := t.row("SELECT position, chain FROM journal WHERE unit = ? ORDER BY position DESC LIMIT 1", t.unit).Scan(&h.Position, &chain)
	if errors.Is(err, sql.ErrNoRows) {
		return h, nil
	}
	if err != nil {
		return h, damaged(err)
	}
	return h, hash(&h.Chain, chain)
}

func (t *tx) Rows(do func(journal.Row) error) error {
	return t.each(do, "SELECT "+columns+" FROM journal WHERE unit = ? ORDER BY position", t.unit)
}

func (t *tx) At(position int64) (journal.Row, bool, error) {
	r, err := scan(t.row("SELECT "+columns+" FROM journal WHERE unit = ? AND position = ?", t.unit, position))
	if errors.Is(err, sql.ErrNoRows) {
		return r, false, nil
	}
	return r, err == nil, damaged(err)
}

func (t *tx) Latest(most int, do func(infant, kind, accepted string) error) error {
	rows, err := t.query("SELECT infant, kind, accepted FROM journal WHERE unit = ?1 AND position > "+
		"(SELECT COALESCE(MAX(position), 0) FROM journal WHERE unit = ?1) - ?2 ORDER BY position", t.unit, most)
	if err != nil {
		return told(err)
	}
	defer rows.Close()
	var infant, kind, accepted string
	for rows.Next() {
		if err := rows.Scan(&infant, &kind, &accepted); err != nil {
			return damaged(err)
		}
		if err := do(infant, kind, accepted); err != nil {
			return err
		}
	}
	return told(rows.Err())
}

func (t *tx) Stream(name string, do func(journal.Row) error) error {
	return t.each(do, "SELECT journal.position, id, infant, kind, text, accepted, chain FROM link JOIN journal USING (unit, position) "+
		"WHERE unit = ? AND stream = ? ORDER BY n", t.unit, name)
}

func (t *tx) Links(do func(stream string, n, position int64) error) error {
	rows, err := t.query("SELECT stream, n, position FROM link WHERE unit = ? ORDER BY stream, n", t.unit)
	if err != nil {
		return told(err)
	}
	defer rows.Close()
	for rows.Next() {
		var stream string
		var n, position int64
		if err := rows.Scan(&stream, &n, &position); err != nil {
			return damaged(err)
		}
		if err := do(stream, n, position); err != nil {
			return err
		}
	}
	return told(rows.Err())
}

// Top is the unit's. Where it is gone, what stands on it tells that there was one.
func (t *tx) Top() ([]byte, error) {
	if t.version < withIndex {
		return nil, nil
	}
	b, err := t.bytes("SELECT body FROM top WHERE unit = ?", t.unit)
	if err != nil || b != nil {
		return b, err
	}
	var nodes bool
	if err := t.row("SELECT EXISTS (SELECT 1 FROM node WHERE unit = ?)", t.unit).Scan(&nodes); err != nil {
		return nil, damaged(err)
	}
	if nodes {
		return nil, fmt.Errorf("%w: what tells where the record ends is gone", journal.ErrDamaged)
	}
	return nil, nil
}

func (t *tx) Node(id int64) ([]byte, error) {
	return t.bytes("SELECT body FROM node WHERE unit = ? AND id = ?", t.unit, id)
}

func (t *tx) Nodes(do func(id int64, body []byte) error) error {
	rows, err := t.query("SELECT id, body FROM node WHERE unit = ? ORDER BY id", t.unit)
	if err != nil {
		return told(err)
	}
	defer rows.Close()
	for rows.Next() {
		var id int64
		var body sql.RawBytes
		if err := rows.Scan(&id, &body); err != nil {
			return damaged(err)
		}
		if err := do(id, body); err != nil {
			return err
		}
	}
	return told(rows.Err())
}

// bytes are the first column of the one row of a query, nil when there is none.
func (t *tx) bytes(query string, args ...any) ([]byte, error) {
	var b []byte
	err := t.row(query, args...).Scan(&b)
	if errors.Is(err, sql.ErrNoRows) {
		return nil, nil
	}
	return b, damaged(err)
}

func (t *tx) each(do func(journal.Row) error, query string, args ...any) error {
	rows, err := t.query(query, args...)
	if err != nil {
		return told(err)
	}
	defer rows.Close()
	for rows.Next() {
		r, err := scan(rows)
		if err != nil {
			return damaged(err)
		}
		if err := do(r); err != nil {
			return err
		}
	}
	return told(rows.Err())
}

func (t *tx) Policies() ([]string, error) {
	return t.texts("SELECT hash FROM policy WHERE unit = ? ORDER BY hash")
}

func (t *tx) InForce() (out []journal.InForce, err error) {
	if t.version < withPolicies {
		return nil, nil
	}
	rows, err := t.query("SELECT position, accepted, policy FROM in_force WHERE unit = ? ORDER BY n", t.unit)
	if err != nil {
		return nil, told(err)
	}
	defer rows.Close()
	for rows.Next() {
		var f journal.InForce
		if err := rows.Scan(&f.From, &f.Accepted, &f.Policy); err != nil {
			return nil, damaged(err)
		}
		out = append(out, f)
	}
	return out, told(rows.Err())
}

// texts are the first column of a query by unit.
func (t *tx) texts(query string) ([]string, error) {
	rows, err := t.query(query, t.unit)
	if err != nil {
		return nil, told(err)
	}
	defer rows.Close()
	var out []string
	for rows.Next() {
		var s string
		if err := rows.Scan(&s); err != nil {
			return nil, damaged(err)
		}
		out = append(out, s)
	}
	return out, told(rows.Err())
}

func (t *tx) Policy(hash string) (string, bool, error) {
	var text string
	err := t.row("SELECT text FROM policy WHERE unit = ? AND hash = ?", t.unit, hash).Scan(&text)
	if errors.Is(err, sql.ErrNoRows) {
		return "", false, nil
	}
	return text, err == nil, damaged(err)
}

// signedColumns are those of what was signed; in older tables all are of one form.
func (t *tx) signedColumns() string {
	if t.version < withIndex {
		return strings.Replace(signedColumns, "form", "1", 1)
	}
	return signedColumns
}

const signedColumns = "id, position, chain, policy, engine, digest, form"

func scanSigned(s scanner, packed ...any) (journal.Signed, error) {
	var out journal.Signed
	var chain []byte
	if err := s.Scan(append([]any{&out.ID, &out.Position, &chain, &out.Policy, &out.Engine, &out.Digest, &out.Form},
		packed...)...); err != nil {
		return out, err
	}
	return out, hash(&out.Chain, chain)
}

func (t *tx) Signed(id string) (journal.Signed, bool, error) {
	var packed []byte
	s, err := scanSigned(t.row("SELECT "+t.signedColumns()+", json FROM signed WHERE unit = ? AND id = ?", t.unit, id), &packed)
	if errors.Is(err, sql.ErrNoRows) {
		return s, false, nil
	}
	if err != nil {
		return s, false, damaged(err)
	}
	s.JSON = unpack(packed)
	return s, true, nil
}

func (t *tx) Cuts() (out []journal.Signed, err error) {
	rows, err := t.query("SELECT "+t.signedColumns()+" FROM signed WHERE unit = ? ORDER BY position, id", t.unit)
	if err != nil {
		return nil, told(err)
	}
	defer rows.Close()
	for rows.Next() {
		s, err := scanSigned(rows)
		if err != nil {
			return nil, damaged(err)
		}
		out = append(out, s)
	}
	return out, told(rows.Err())
}

func (t *tx) Append(rows []journal.Row) error {
	t.appended = t.appended || len(rows) > 0
	for _, r := range rows {
		if err := t.exec("INSERT INTO journal (unit, "+columns+") VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
			t.unit, r.Position, r.ID, r.Infant, r.Kind, r.Text, r.Accepted, r.Chain[:]); err != nil {
			return err
		}
	}
	return nil
}

func (t *tx) KeepPolicy(hash, text string) error {
	return t.exec("INSERT INTO policy (unit, hash, text) VALUES (?, ?, ?) ON CONFLICT DO NOTHING", t.unit, hash, text)
}

func (t *tx) PutInForce(f journal.InForce) error {
	return t.exec("INSERT INTO in_force (unit, n, position, accepted, policy) SELECT ?, 1 + count(*), ?, ?, ? FROM in_force "+
		"WHERE unit = ?",
		t.unit, f.From, f.Accepted, f.Policy, t.unit)
}

func (t *tx) KeepSigned(s journal.Signed) error {
	packed, err := pack(s.JSON)
	if err != nil {
		return err
	}
	return t.exec("INSERT INTO signed (unit, "+signedColumns+", json) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
		t.unit, s.ID, s.Position, s.Chain[:], s.Policy, s.Engine, s.Digest, s.Form, packed)
}

func (t *tx) SetTop(body []byte) error {
	return t.exec("INSERT INTO top (unit, body) VALUES (?, ?) ON CONFLICT (unit) DO UPDATE SET body = excluded.body", t.unit, body)
}

func (t *tx) PutNode(id int64, body []byte) error {
	return t.exec("INSERT INTO node (unit, id, body) VALUES (?, ?, ?) ON CONFLICT (unit, id) DO UPDATE SET body = excluded.body", t.unit,
		id, body)
}

func (t *tx) Link(stream string, has int64, positions []int64) error {
	if err := t.exec("DELETE FROM link WHERE unit = ? AND stream = ? AND n > ?", t.unit, stream, has); err != nil {
		return err
	}
	for i, position := range positions {
		if err := t.exec("INSERT INTO link (unit, stream, n, position) VALUES (?, ?, ?, ?)", t.unit, stream, has+int64(i)+1,
			position); err != nil {
			return err
		}
	}
	return nil
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

func (t *tx) exec(query string, args ...any) error {
	s, err := t.prepared(query)
	if err != nil {
		return told(err)
	}
	_, err = s.ExecContext(t.ctx, args...)
	return told(err)
}
