package journal

import (
	"crypto/sha256"
	"fmt"
	"slices"

	"cotline/handover"
	"cotline/handover/entry"
)

// stored is an index in a store, as far as it was looked at within one transaction.
type stored struct {
	view    View
	top     *top
	trie    *trie
	rows    map[int64]*held
	streams map[string][]*held // read whole, and what was linked since
	pending map[string]*links
}

// links are those of a stream that are not written yet.
type links struct {
	has       int64
	positions []int64
}

func newStored(v View, t *top) *stored {
	return &stored{view: v, top: t, trie: &trie{view: v, root: t.root, next: t.nodes, nodes: map[int64]*node{}},
		rows: map[int64]*held{}, streams: map[string][]*held{}, pending: map[string]*links{}}
}

func (s *stored) item(name string) (int64, Hash, error) {
	n, hash, _, err := s.trie.get(name)
	return n, hash, err
}

func (s *stored) setItem(name string, number int64, hash Hash) error {
	return s.trie.set(name, number, hash)
}

// at is the entry at a position, held to the sum that its id has in the index.
func (s *stored) at(position int64) (*held, error) {
	if h := s.rows[position]; h != nil {
		return h, nil
	}
	row, found, err := s.view.At(position)
	if err != nil {
		return nil, err
	}
	if !found {
		return nil, fmt.Errorf("%w: position %d: the row is missing", ErrDamaged, position)
	}
	h, err := s.held(row)
	if err != nil {
		return nil, err
	}
	n, sum, err := s.item("id/" + row.ID)
	if err != nil {
		return nil, err
	}
	if n != position || sum != h.sum {
		return nil, fmt.Errorf("%w: position %d: the row is not what was taken", ErrDamaged, position)
	}
	return h, nil
}

func (s *stored) held(row Row) (*held, error) {
	if h := s.rows[row.Position]; h != nil && h.sum == row.sum() {
		return h, nil
	}
	e, err := row.entry()
	if err != nil {
		return nil, fmt.Errorf("%w: position %d: %w", ErrDamaged, row.Position, err)
	}
	h := &held{e, row.Position, row.sum()}
	s.rows[row.Position] = h
	return h, nil
}

// stream reads a stream and holds it to how many there are and to their seal.
func (s *stored) stream(name string) ([]*held, error) {
	if all, read := s.streams[name]; read {
		return all, nil
	}
	n, seal, err := s.item(name)
	if err != nil || n == 0 {
		return nil, err
	}
	if err := s.flush(name); err != nil {
		return nil, err
	}
	all, got := make([]*held, 0, n), Hash{}
	err = s.view.Stream(name, func(row Row) error {
		h, err := s.held(row)
		if err != nil {
			return err
		}
		all, got = append(all, h), got.then(h.sum)
		return nil
	})
	if err != nil {
		return nil, err
	}
	if int64(len(all)) != n || got != seal {
		if p, err := s.differing(all); err != nil {
			return nil, err
		} else if p > 0 {
			return nil, fmt.Errorf("%w: position %d: the row is not what was taken", ErrDamaged, p)
		}
		return nil, fmt.Errorf("%w: %d of %d entries of one list are found by the index, or others", ErrDamaged, len(all), n)
	}
	s.streams[name] = all
	return all, nil
}

// differing is the first of some entries that the index knows otherwise, 0 where it is
// none of them.
func (s *stored) differing(all []*held) (position int64, err error) {
	for _, h := range all {
		at, sum, err := s.item("id/" + h.ID)
		if err != nil {
			return 0, err
		}
		if at != h.position || sum != h.sum {
			return h.position, nil
		}
	}
	return 0, nil
}

func (s *stored) link(stream string, has int64, more []*held) error {
	if all, read := s.streams[stream]; read || has == 0 {
		if int64(len(all)) > has { // others may still read those after
			all = slices.Clip(all[:has])
		}
		s.streams[stream] = append(all, more...)
	}
	p := s.pending[stream]
	if p == nil || has <= p.has {
		p = &links{has: has}
		s.pending[stream] = p
	}
	p.positions = p.positions[:has-p.has]
	for _, h := range more {
		p.positions = append(p.positions, h.position)
	}
	return nil
}

func (s *stored) flush(stream string) error {
	p := s.pending[stream]
	if p == nil {
		return nil
	}
	delete(s.pending, stream)
	return s.view.(Tx).Link(stream, p.has, p.positions)
}

// keep writes links, index and top. Nothing may be added after it.
func (s *stored) keep() error {
	tx := s.view.(Tx)
	for stream := range s.pending {
		if err := s.flush(stream); err != nil {
			return err
		}
	}
	if err := s.trie.keep(tx); err != nil {
		return err
	}
	s.top.root, s.top.nodes = s.trie.root, s.trie.next
	return tx.SetTop(s.top.encode())
}

func (s *stored) all() (out []*held, err error) {
	err = s.view.Rows(func(row Row) error {
		h, err := s.held(row)
		out = append(out, h)
		return err
	})
	return out, err
}

// take adds a row that stands in the store already.
func (s *stored) take(row Row, e *entry.Entry) error {
	h := &held{e, row.Position, row.sumOf(sha256.Sum256([]byte(row.Text)))}
	s.rows[row.Position] = h
	s.top.Head = Head{row.Position, row.Chain}
	s.top.seal = s.top.seal.then(h.sum)
	return index{s}.add(h)
}

// appendRows appends entries as rows to the chain, the store and the index.
func (s *stored) appendRows(tx Tx, fresh []*entry.Entry, accepted string) error {
	head := s.top.Head
	rows := make([]Row, 0, len(fresh))
	for _, e := range fresh {
		row := head.row(e, accepted)
		rows = append(rows, row)
		head = Head{row.Position, row.Chain}
	}
	if err := tx.Append(rows); err != nil {
		return err
	}
	for i, row := range rows {
		if err := s.take(row, fresh[i]); err != nil {
			return err
		}
	}
	return nil
}

// cut keeps in the index what a handover was signed on.
func (s *stored) cut(signed Signed) error {
	sum := signed.sum()
	s.top.cuts++
	s.top.cutSeal = s.top.cutSeal.then(sum)
	return s.setItem("signed/"+signed.ID, signed.Position, sum)
}

// putInForce keeps, of a journal of before, what was in force all along, and puts a
// policy in force that is another. It says whether one was put.
func (s *stored) putInForce(tx Tx, had Policies, policy *handover.Policy, from int64, accepted string) (bool, error) {
	if s.top.policies == 0 {
		for _, f := range had.InForce {
			if err := s.inForce(tx, f); err != nil {
				return false, err
			}
		}
	}
	if had.Now != nil && had.Now.Hash() == policy.Hash() {
		return false, nil
	}
	if err := tx.KeepPolicy(policy.Hash(), string(policy.Canonical())); err != nil {
		return false, err
	}
	return true, s.inForce(tx, InForce{from, accepted, policy.Hash()})
}

// inForce keeps one more; its text is kept already.
func (s *stored) inForce(tx Tx, f InForce) error {
	s.top.policies++
	s.top.policySeal = s.top.policySeal.then(f.sum())
	return tx.PutInForce(f)
}

// opened is the index of a journal, nil where no version has written to it that
// keeps one. It is held to the end of the rows.
func opened(v View) (*stored, error) {
	t, err := topOf(v)
	if err != nil || t == nil {
		return nil, err
	}
	head, err := v.Head()
	if err != nil {
		return nil, err
	}
	if head != t.Head {
		return nil, fmt.Errorf("%w: %s", ErrDamaged, ends(head, t.Head))
	}
	return newStored(v, t), nil
}

func ends(found, kept Head) string {
	if found.Position == kept.Position {
		return fmt.Sprintf("the chain at position %d is not the one that was kept", kept.Position)
	}
	return fmt.Sprintf("the record ends at position %d, rows are found up to position %d", kept.Position, found.Position)
}

// adopted is the index of a journal that is written to. One of an older version is
// read whole, held to its chain, and given one.
func adopted(tx Tx) (*stored, error) {
	s, err := opened(tx)
	if err != nil || s != nil {
		return s, err
	}
	s = newStored(tx, &top{})
	var rows []Row
	var entries []*entry.Entry
	r := Reading{}
	var last Head
	err = tx.Rows(func(row Row) error {
		e, _ := r.hold(row, row.parse(), last)
		last = Head{row.Position, row.Chain}
		rows, entries = append(rows, row), append(entries, e)
		return nil
	})
	if err != nil {
		return nil, err
	}
	if len(r.Findings) > 0 {
		return nil, fmt.Errorf("%w: %s", ErrDamaged, r.Findings[0])
	}
	for i, row := range rows {
		if err := s.take(row, entries[i]); err != nil {
			return nil, err
		}
	}
	cuts, err := tx.Cuts()
	if err != nil {
		return nil, err
	}
	for _, c := range cuts {
		if err := s.cut(c); err != nil {
			return nil, err
		}
	}
	return s, nil
}
