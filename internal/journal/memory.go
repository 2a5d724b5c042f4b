package journal

import (
	"fmt"
	"slices"
)

// memory is an index in memory, made anew from every row to hold the stored one to.
type memory struct {
	rows  []*held // in order; positions may be missing
	where map[int64]*held
	items map[string]value
	links map[string][]*held
}

type value struct {
	number int64
	hash   Hash
}

func newMemory() *memory {
	return &memory{where: map[int64]*held{}, items: map[string]value{}, links: map[string][]*held{}}
}

func (m *memory) item(name string) (int64, Hash, error) {
	v := m.items[name]
	return v.number, v.hash, nil
}

func (m *memory) setItem(name string, number int64, hash Hash) error {
	m.items[name] = value{number, hash}
	return nil
}

func (m *memory) stream(name string) ([]*held, error) { return m.links[name], nil }

func (m *memory) link(stream string, has int64, more []*held) error {
	if has == 0 {
		m.links[stream] = nil // others may still read the one before
	}
	m.links[stream] = append(m.links[stream][:has], more...)
	return nil
}

// remembered is the index of a journal that keeps none.
func remembered(v View) (*memory, error) {
	m, r, last := newMemory(), Reading{}, Head{}
	err := v.Rows(func(row Row) error {
		e, text := r.hold(row, row.parse(), last)
		last = Head{row.Position, row.Chain}
		if len(r.Findings) > 0 {
			return fmt.Errorf("%w: %s", ErrDamaged, r.Findings[0])
		}
		return m.take(&held{e, row.Position, row.sumOf(text)})
	})
	return m, err
}

// take adds the next entry. A damaged position may be any number: none is made room for.
func (m *memory) take(h *held) error {
	m.rows = append(m.rows, h)
	m.where[h.position] = h
	return index{m}.add(h)
}

func (m *memory) all() ([]*held, error) {
	return slices.Clone(m.rows), nil
}

func (m *memory) at(position int64) (*held, error) { return m.where[position], nil }
