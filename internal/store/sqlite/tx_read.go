package sqlite

import (
	"database/sql"
	"errors"
	"fmt"
	"strings"

	"cotline/internal/journal"
)

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
	return t.head("SELECT position, chain FROM journal WHERE unit = ? ORDER BY position DESC LIMIT 1", t.unit)
}

func (t *tx) Rows(do func(journal.Row) error) error {
	return each(t, scan, do, "SELECT "+columns+" FROM journal WHERE unit = ? ORDER BY position", t.unit)
}

func (t *tx) At(position int64) (journal.Row, bool, error) {
	r, err := scan(t.row("SELECT "+columns+" FROM journal WHERE unit = ? AND position = ?", t.unit, position))
	if errors.Is(err, sql.ErrNoRows) {
		return r, false, nil
	}
	return r, err == nil, damaged(err)
}

func (t *tx) Stream(name string, do func(journal.Row) error) error {
	return each(t, scan, do, "SELECT journal.position, id, infant, kind, text, accepted, chain FROM link "+
		"JOIN journal USING (unit, position) WHERE unit = ? AND stream = ? ORDER BY n", t.unit, name)
}

func (t *tx) Links(do func(stream string, n, position int64) error) error {
	type link struct {
		stream      string
		n, position int64
	}
	scan := func(s scanner) (l link, err error) {
		err = s.Scan(&l.stream, &l.n, &l.position)
		return l, err
	}
	return each(t, scan, func(l link) error { return do(l.stream, l.n, l.position) },
		"SELECT stream, n, position FROM link WHERE unit = ? ORDER BY stream, n", t.unit)
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
	type node struct {
		id   int64
		body sql.RawBytes // used again for the next
	}
	scan := func(s scanner) (n node, err error) {
		err = s.Scan(&n.id, &n.body)
		return n, err
	}
	return each(t, scan, func(n node) error { return do(n.id, n.body) }, "SELECT id, body FROM node WHERE unit = ? ORDER BY id", t.unit)
}

func (t *tx) Policies() ([]string, error) {
	return all(t, scanText, "SELECT hash FROM policy WHERE unit = ? ORDER BY hash", t.unit)
}

func (t *tx) InForce() ([]journal.InForce, error) {
	if t.version < withPolicies {
		return nil, nil
	}
	scan := func(s scanner) (f journal.InForce, err error) {
		err = s.Scan(&f.From, &f.Accepted, &f.Policy)
		return f, err
	}
	return all(t, scan, "SELECT position, accepted, policy FROM in_force WHERE unit = ? ORDER BY n", t.unit)
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

func (t *tx) Cuts() ([]journal.Signed, error) {
	scan := func(s scanner) (journal.Signed, error) { return scanSigned(s) }
	return all(t, scan, "SELECT "+t.signedColumns()+" FROM signed WHERE unit = ? ORDER BY position, id", t.unit)
}
