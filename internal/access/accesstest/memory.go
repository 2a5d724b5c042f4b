// Package accesstest is access for tests: a store in memory, and hashes that cost little.
// Product code never imports it.
package accesstest

import (
	"cmp"
	"context"
	"errors"
	"maps"
	"slices"
	"sync"
	"time"

	"cotline/internal/access"
	"cotline/internal/journal"
)

// Memory is a store in memory. Its zero value is empty.
type Memory struct {
	mu     sync.Mutex
	items  map[[2]string]access.Item
	traces map[string][]access.Traced
	marks  map[string]journal.Head
	// Fails, where it is set, is what the next write fails with instead of being kept.
	Fails error
}

var _ access.Store = (*Memory)(nil)

// Write keeps the contract of access.Store.
func (m *Memory) Write(ctx context.Context, do func(access.Tx) error) error {
	m.mu.Lock()
	defer m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return err
	}
	t := &tx{items: maps.Clone(m.items), traces: maps.Clone(m.traces), marks: m.marks}
	if t.items == nil {
		t.items, t.traces = map[[2]string]access.Item{}, map[string][]access.Traced{}
	}
	if err := do(t); err != nil {
		return err
	}
	if err := m.Fails; err != nil {
		m.Fails = nil
		return err
	}
	m.items, m.traces, m.marks = t.items, t.traces, map[string]journal.Head{}
	for unit := range m.traces {
		m.marks[unit], _ = t.TraceHead(unit) // memory has no faults
	}
	return nil
}

// Read keeps the contract of access.Store.
func (m *Memory) Read(ctx context.Context, do func(access.View) error) error {
	m.mu.Lock()
	t := &tx{items: m.items, traces: m.traces, marks: m.marks}
	m.mu.Unlock()
	if err := ctx.Err(); err != nil {
		return err
	}
	return do(t)
}

// Change changes the trace of a unit as nobody may, for tests of what shows it.
func (m *Memory) Change(unit string, do func([]access.Traced) []access.Traced) {
	m.mu.Lock()
	defer m.mu.Unlock()
	m.traces[unit] = do(slices.Clone(m.traces[unit]))
}

// Everything is all that is kept, as text, for tests of what must not be in it.
func (m *Memory) Everything() (out string) {
	m.mu.Lock()
	defer m.mu.Unlock()
	for _, item := range m.items {
		out += item.Kind + " " + item.Key + " " + item.Owner + " " + string(item.Body) + "\n"
	}
	for unit, rows := range m.traces {
		for _, row := range rows {
			out += unit + " " + row.Text + "\n"
		}
	}
	return out
}

type tx struct {
	items  map[[2]string]access.Item
	traces map[string][]access.Traced
	marks  map[string]journal.Head
}

func (t *tx) TraceMark(unit string) (journal.Mark, error) {
	head, marked := t.marks[unit]
	if !marked {
		return journal.Mark{}, nil
	}
	return journal.Mark{Head: head, State: journal.Marked}, nil
}

func (t *tx) Get(kind, key string) (access.Item, bool, error) {
	item, found := t.items[[2]string{kind, key}]
	return item, found, nil
}

func (t *tx) List(kind, owner string) (out []access.Item, err error) {
	for _, item := range t.items {
		if item.Kind == kind && (owner == "" || item.Owner == owner) {
			out = append(out, item)
		}
	}
	slices.SortFunc(out, func(a, b access.Item) int { return cmp.Compare(a.Key, b.Key) })
	return out, nil
}

func (t *tx) TraceHead(unit string) (journal.Head, error) {
	rows := t.traces[unit]
	if len(rows) == 0 {
		return journal.Head{}, nil
	}
	last := rows[len(rows)-1]
	return journal.Head{Position: last.Position, Chain: last.Chain}, nil
}

func (t *tx) Trace(unit string, after int64, do func(access.Traced) error) error {
	for _, row := range t.traces[unit] {
		if row.Position <= after {
			continue
		}
		if err := do(row); err != nil {
			return err
		}
	}
	return nil
}

func (t *tx) TraceUnits() ([]string, error) { return slices.Sorted(maps.Keys(t.traces)), nil }

func (t *tx) Put(item access.Item) error {
	item.Body = slices.Clone(item.Body)
	if !item.Until.IsZero() { // to the second, never sooner
		item.Until = item.Until.Add(time.Second - time.Nanosecond).Truncate(time.Second).UTC()
	}
	t.items[[2]string{item.Kind, item.Key}] = item
	return nil
}

func (t *tx) Remove(kind, key string) error {
	delete(t.items, [2]string{kind, key})
	return nil
}

func (t *tx) Sweep(now time.Time) error {
	maps.DeleteFunc(t.items, func(_ [2]string, i access.Item) bool { return !i.Until.IsZero() && !i.Until.After(now) })
	return nil
}

func (t *tx) AppendTrace(unit string, row access.Traced) error {
	head, _ := t.TraceHead(unit)
	if row.Position != head.Position+1 {
		return errors.New("positions of a trace follow each other")
	}
	t.traces[unit] = append(slices.Clip(t.traces[unit]), row)
	return nil
}
