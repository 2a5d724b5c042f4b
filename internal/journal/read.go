package journal

import (
	"context"
	"fmt"

	"cotline/handover"
	"cotline/handover/entry"
)

// Reading is a whole journal, read at one moment.
type Reading struct {
	Entries   []*entry.Entry
	Positions map[string]int64 // of entries, by id
	Signed    map[string]int64 // the position each handover was cut at, by its id
	Chains    map[int64]Hash   // the heads at those positions
	Head      Head
	Findings  []Finding // what is wrong with rows; an entry that cannot be read is not in Entries
}

// Finding is something wrong with the journal, where it is known at a position.
type Finding struct {
	Position int64 // 0: of the whole
	What     string
}

func (f Finding) String() string {
	if f.Position == 0 {
		return f.What
	}
	return fmt.Sprintf("position %d: %s", f.Position, f.What)
}

// Read reads the journal and holds every row to its chain.
func (j *Journal) Read(ctx context.Context) (Reading, error) {
	var r Reading
	err := j.Store.Read(ctx, j.Unit, func(v View) error {
		var err error
		r, err = read(v)
		return err
	})
	return r, err
}

func read(v View) (Reading, error) {
	r := Reading{Positions: map[string]int64{}, Chains: map[int64]Hash{}}
	var err error
	if r.Signed, err = v.Cuts(); err != nil {
		return r, err
	}
	cut := map[int64]bool{}
	for _, position := range r.Signed {
		cut[position] = true
	}
	var last Head
	err = v.Rows(func(row Row) error {
		e := r.hold(row, last)
		last = Head{row.Position, row.Chain}
		if cut[row.Position] {
			r.Chains[row.Position] = row.Chain
		}
		if e != nil {
			r.Entries = append(r.Entries, e)
			r.Positions[e.ID] = row.Position
		}
		return nil
	})
	r.Head = last
	return r, err
}

// hold finds what is wrong with a row after the row before it, and reads its
// entry, nil when it cannot be read. A row is held to the chain that stands in
// the row before, so one damaged text is one finding.
func (r *Reading) hold(row Row, before Head) *entry.Entry {
	bad := func(what string) {
		r.Findings = append(r.Findings, Finding{row.Position, what})
	}
	switch {
	case row.Position != before.Position+1:
		r.Findings = append(r.Findings, Finding{before.Position + 1, "the row is missing"})
	case before.Chain.Next(row.Text) != row.Chain:
		bad("the chain does not hold: this row or the one before is not what was taken")
	}
	e, err := row.entry()
	if err != nil {
		bad(err.Error())
		return nil
	}
	if string(e.AppendCanonical(nil)) != row.Text {
		bad("the text is not in its canonical form")
	}
	if e.ID != row.ID || e.Infant != row.Infant || e.Kind != row.Kind {
		bad("id, infant or kind beside the text are not those in it")
	}
	return e
}

// Ward is what a handover is compiled from.
func (r *Reading) Ward(policy *handover.Policy) handover.Ward {
	return handover.Ward{Entries: r.Entries, Policy: policy, Positions: r.Positions, Signed: r.Signed}
}
