package journal

import (
	"context"

	"cotline/handover"
	"cotline/handover/entry"
)

// sign keeps what each of the handovers taken was signed on. Every row of the
// transaction is in the store already.
func (j *Journal) sign(tx Tx, policy *handover.Policy, fresh []*entry.Entry, head Head) ([]Signed, error) {
	var signing []*entry.Entry
	for _, e := range fresh {
		if e.Kind == "handover" {
			signing = append(signing, e)
		}
	}
	if len(signing) == 0 {
		return nil, nil
	}
	r, err := read(tx)
	if err != nil {
		return nil, err
	}
	for _, e := range signing {
		r.Signed[e.ID] = head.Position
	}
	var out []Signed
	for _, e := range signing {
		asOf, _ := e.Moment("asOf")
		text := j.Compile(r.Ward(policy), asOf.Time, e.Charted.Time, head)
		s := Signed{
			ID: e.ID, Position: head.Position, Chain: head.Chain, Policy: policy.Hash(),
			Engine: j.Engine, Digest: digest(text), JSON: text,
		}
		if err := tx.KeepSigned(s); err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	return out, nil
}

// Signed is what a handover was signed on, and whether it was signed here.
func (j *Journal) Signed(ctx context.Context, id string) (s Signed, found bool, err error) {
	err = j.Store.Read(ctx, j.Unit, func(v View) error {
		s, found, err = v.Signed(id)
		return err
	})
	return s, found, err
}
