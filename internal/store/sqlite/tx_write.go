package sqlite

import (
	"cotline/internal/journal"
)

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
