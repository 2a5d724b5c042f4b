package journal

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"slices"
	"time"

	"cotline/handover/entry"
)

// Cursor is how far a journal was read, with what proves that: more can be read from
// there on, and held to what was read. The zero one is of a journal that was not read
// whole.
type Cursor struct {
	head       Head
	seal       Hash
	policies   int64
	policySeal Hash
	clock      Clock
}

// mostNew is how many rows are read one by one from a cursor on; for more it costs less
// to read anew who is here.
const mostNew = 5000

// ErrAnew says that what was read up to a cursor must be read anew: another policy is in
// force, the journal is not the one that was read, or there is too much that is new.
var ErrAnew = errors.New("the record must be read anew")

// Tail is what was taken after a cursor, whoever took it.
type Tail struct {
	Entries   []*entry.Entry   // in order of position
	Positions map[string]int64 // of them, by id
	Signed    map[string]int64 // the position that each handover of them was cut at
	Clock     Clock            // that takes them
	Cursor    Cursor           // where the journal ends now
	Head      Head
}

// Here reads what a handover of everybody is compiled from who is here at a moment or
// left shortly before it, as ReadAbout does of some. A journal that is damaged or of
// before is read whole. The cursor is where it ends.
func (j *Journal) Here(ctx context.Context, at time.Time) (r Reading, c Cursor, err error) {
	err = j.reading(ctx, &r, func(v View) error {
		s, err := r.byIndex(v, func(s *stored) (Reading, error) { return s.here(at) })
		if err != nil {
			return err
		}
		if s == nil { // damaged, or of before
			r.Clock.InUse = true
			r.Clock.Sound, err = takenLast(v)
			return err
		}
		r.Clock, err = s.clock()
		c = s.top.cursor(r.Clock)
		return err
	})
	return r, c, err
}

// here reads of everybody who may be here; the zero reading where nobody is or the whole
// must be read.
func (s *stored) here(at time.Time) (Reading, error) {
	p := picked{index: index{s}}
	var keys []string
	for _, h := range p.candidates("here", at.Add(-unitWindow), at) {
		if !slices.Contains(keys, h.Infant) {
			keys = append(keys, h.Infant)
		}
	}
	if p.err != nil || len(keys) == 0 {
		return Reading{}, p.err
	}
	return s.about(About{Infants: keys, At: at, Known: at}, nil)
}

func (t *top) cursor(c Clock) Cursor { return Cursor{t.Head, t.seal, t.policies, t.policySeal, c} }

// After reads what was taken after a cursor. Every row is held to the one before it, the
// last of them to where the journal ends; what does not hold is ErrDamaged. With ErrAnew
// nothing can be told from the cursor on. Where nothing is new it costs a look at the end.
func (j *Journal) After(ctx context.Context, c Cursor) (Tail, error) {
	t := Tail{Cursor: c, Head: c.head, Clock: c.clock}
	err := j.Store.Read(ctx, j.Unit, func(v View) error {
		if _, _, err := whole(v); err != nil {
			return err
		}
		top, err := topOf(v)
		switch {
		case err != nil:
			return err
		case top == nil, c.head.Position == 0, top.policies != c.policies, top.policySeal != c.policySeal,
			top.Position < c.head.Position, top.Position > c.head.Position+mostNew:
			return ErrAnew
		case top.Head == c.head && top.seal == c.seal:
			return nil
		}
		return t.follow(v, top)
	})
	if err != nil {
		return Tail{}, err
	}
	return t, nil
}

// follow reads row by row to the top, and holds them to it.
func (t *Tail) follow(v View, end *top) error {
	t.Positions, t.Signed = map[string]int64{}, map[string]int64{}
	index := newStored(v, end)
	last, seal := t.Head, t.Cursor.seal
	for last.Position < end.Position {
		row, found, err := v.At(last.Position + 1)
		switch {
		case err != nil:
			return err
		case !found:
			return fmt.Errorf("%w: position %d: the row is missing", ErrDamaged, last.Position+1)
		}
		e, err := row.entry()
		if err != nil {
			return fmt.Errorf("%w: position %d: %w", ErrDamaged, row.Position, err)
		}
		text := sha256.Sum256([]byte(row.Text))
		last, seal = Head{row.Position, last.Chain.then(text)}, seal.then(row.sumOf(text))
		if last.Chain != row.Chain {
			return fmt.Errorf("%w: position %d: the chain does not hold", ErrDamaged, row.Position)
		}
		t.Entries, t.Positions[e.ID] = append(t.Entries, e), row.Position
		if e.Kind != "handover" {
			continue
		}
		cut, _, err := index.item("signed/" + e.ID)
		if err != nil {
			return err
		}
		if cut > 0 {
			t.Signed[e.ID] = cut
		}
	}
	if last != end.Head || seal != end.seal {
		return fmt.Errorf("%w: what was taken after position %d is not what was kept", ErrDamaged, t.Head.Position)
	}
	var err error
	t.Clock, err = index.clock()
	t.Head, t.Cursor = end.Head, end.cursor(t.Clock)
	return err
}

// TellsWho says whether an entry of a kind tells who or where an infant is, or on what:
// what others on the ward are told apart by.
func TellsWho(kind string) bool { return slices.Contains(whoKinds, kind) }
