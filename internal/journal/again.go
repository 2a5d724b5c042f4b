package journal

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"time"

	"cotline/handover"
)

// Cut is what a handover was signed on: the record as it was then.
type Cut struct {
	Ward      handover.Ward
	Head      Head
	At, Known time.Time
}

// ErrNotAsSigned is a signed handover of which nothing but its bytes can be shown: this
// program makes another of it, or it came from a record that was not whole.
var ErrNotAsSigned = errors.New("it does not come out as it was signed")

// Again makes anew what a handover was signed on, from the rows up to its position and
// the policy that it was signed under, and holds it to the bytes signed: what a face is made
// of then says what they say, and nothing else. Where a row or the policy is not what was
// kept it is ErrDamaged; where the bytes differ, ErrNotAsSigned.
func (j *Journal) Again(ctx context.Context, s Signed) (Cut, error) {
	if s.Form == Kept {
		return Cut{}, ErrNotAsSigned
	}
	c, err := j.cutOf(ctx, s)
	if err != nil {
		return Cut{}, err
	}
	if !bytes.Equal(j.Compile(c.Ward, c.At, c.Known, c.Head), s.JSON) {
		return Cut{}, ErrNotAsSigned
	}
	return c, nil
}

func (j *Journal) cutOf(ctx context.Context, s Signed) (c Cut, err error) {
	err = j.Store.Read(ctx, j.Unit, func(v View) error {
		policy, lacks, err := policyOf(v, s.Policy)
		if err != nil {
			return err
		}
		if policy == nil {
			return fmt.Errorf("%w: the policy it was signed under %s", ErrDamaged, lacks.why)
		}
		cuts, err := v.Cuts()
		if err != nil {
			return err
		}
		m, r, err := upTo(v, s.Position)
		if err != nil {
			return err
		}
		signing, err := (index{m}).byID(s.ID)
		if err != nil {
			return err
		}
		if r.Head != (Head{s.Position, s.Chain}) || signing == nil {
			return fmt.Errorf("%w: the record up to position %d is not the one it was signed on", ErrDamaged, s.Position)
		}
		for _, cut := range cuts {
			if cut.Position <= s.Position {
				r.Signed[cut.ID] = cut.Position
				m.setItem("signed/"+cut.ID, cut.Position, cut.sum()) // memory has no faults
			}
		}
		e := signing.Entry
		asOf, _ := e.Moment("asOf")
		c = Cut{Head: r.Head, At: asOf.Time, Known: e.Charted.Time}
		if s.Form == WholeWard {
			c.Ward = r.Ward(policy)
			return nil
		}
		c.Ward, err = index{m}.ward(policy, e)
		return err
	})
	return c, err
}

// upTo is the record up to a position, each row held to its chain.
func upTo(v View, position int64) (*memory, Reading, error) {
	m, r := newMemory(), Reading{Signed: map[string]int64{}}
	err := v.Rows(func(row Row) error {
		if row.Position > position {
			return nil
		}
		e, text := r.hold(row, row.parse(), r.Head)
		if len(r.Findings) > 0 {
			return fmt.Errorf("%w: %s", ErrDamaged, r.Findings[0])
		}
		r.Head = Head{row.Position, row.Chain}
		r.add(e, row.Position)
		return m.take(&held{e, row.Position, row.sumOf(text)})
	})
	return m, r, err
}
