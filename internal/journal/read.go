package journal

import (
	"context"
	"errors"

	"cotline/handover"
	"cotline/handover/entry"
)

// Reading is a whole journal, read at one moment.
type Reading struct {
	Entries   []*entry.Entry
	Positions []int64          // of Entries, in their order
	Signed    map[string]int64 // the position each handover was cut at, by its id
	Chains    map[int64]Hash   // the heads at those positions
	Head      Head
	Findings  []Finding // what is wrong with rows; an entry that cannot be read is not in Entries
	Unmarked  bool      // nothing tells whether the newest entries were lost
	Policies  Policies  // of the unit
	Clock     Clock     // that took the newest entries, where Here read

	infants map[string]string // keys, each in one place: a stay's entries are compared by it
}

// Tell adds to a handover where in the record it is from, and what is wrong with that;
// one with findings is under no chain. The zero head is a plain file's.
func (r Reading) Tell(h *handover.Handover) {
	if r.Head.Position > 0 {
		h.Position, h.Chain = r.Head.Position, r.Head.Chain.String()
	}
	for _, f := range r.Findings {
		h.Chain, h.Findings = "", append(h.Findings, f.String())
	}
}

// Read reads the whole journal and holds every row to its chain, all of them
// together to what is kept of them, and the end to where it was.
func (j *Journal) Read(ctx context.Context) (Reading, error) {
	var r Reading
	err := j.reading(ctx, &r, func(v View) error {
		var err error
		r, err = read(v)
		return err
	})
	return r, err
}

// Policies are the journal's, also of one that ends before what was taken.
func (j *Journal) Policies(ctx context.Context) (p Policies, err error) {
	err = j.Store.Read(ctx, j.Unit, func(v View) error {
		t, err := topOf(v)
		if err != nil {
			return err
		}
		p, _, err = policiesOf(v, t)
		return err
	})
	return p, err
}

// History is Policies with every policy that was in force.
func (j *Journal) History(ctx context.Context) (p Policies, err error) {
	if p, err = j.Policies(ctx); err != nil {
		return p, err
	}
	p.Each = map[string]*handover.Policy{}
	err = j.Store.Read(ctx, j.Unit, func(v View) error {
		for _, f := range p.InForce { // what is kept stays
			policy, lacks, err := policyOf(v, f.Policy)
			if err != nil {
				return err
			}
			if p.Each[f.Policy] = policy; lacks.damaged {
				p.Findings = append(p.Findings, Finding{f.From, "the policy in force from here on " + lacks.why})
			}
		}
		return nil
	})
	return p, err
}

// reading reads a journal that does not end before what was taken.
func (j *Journal) reading(ctx context.Context, r *Reading, do func(View) error) error {
	return j.Store.Read(ctx, j.Unit, func(v View) error {
		found, mark, err := whole(v)
		if err != nil {
			return err
		}
		err = do(v)
		r.Findings = append(found, r.Findings...)
		r.Unmarked = mark.State == Unmarked && r.Head.Position > 0
		return err
	})
}

// ReadAbout reads what a handover of some infants is compiled from: all of theirs,
// and what concerns them of others and of the unit. It costs the same however much
// else is held. Where the index is damaged it reads the whole journal, and says so.
// Policy nil is the one in force; without any, the whole journal is read.
func (j *Journal) ReadAbout(ctx context.Context, a About, policy *handover.Policy) (Reading, error) {
	var r Reading
	err := j.reading(ctx, &r, func(v View) error {
		_, err := r.byIndex(v, func(s *stored) (Reading, error) { return s.about(a, policy) })
		return err
	})
	return r, err
}

// byIndex reads by the index, and the whole journal where some gives the zero reading or the
// index is damaged, which is found. It returns the index, nil where it cannot be relied on.
func (r *Reading) byIndex(v View, some func(*stored) (Reading, error)) (*stored, error) {
	s, err := opened(v)
	if err == nil && s != nil {
		if *r, err = some(s); err == nil && r.Head.Position > 0 {
			return s, nil
		}
	}
	if err != nil && !errors.Is(err, ErrDamaged) {
		return nil, err
	}
	var whole error
	if *r, whole = read(v); whole != nil {
		return nil, whole
	}
	if err != nil && len(r.Findings) == 0 {
		r.Findings = []Finding{finding(err)}
	}
	if len(r.Findings) > 0 {
		return nil, nil
	}
	return s, nil
}

// about reads what a handover of some infants is compiled from; the zero reading where
// the whole must be read for it.
func (s *stored) about(a About, policy *handover.Policy) (r Reading, err error) {
	had, found, err := policiesOf(s.view, s.top)
	if policy == nil {
		policy = had.Now
	}
	if err != nil || policy == nil || !a.narrow(policy) {
		return Reading{}, err
	}
	r, err = index{s}.read(a, policy, s.top.Head)
	r.Policies, r.Findings = had, found
	return r, err
}

// read reads what a handover of some infants is compiled from.
func (x index) read(a About, policy *handover.Policy, head Head) (Reading, error) {
	p, err := x.picked(a, policy)
	if err != nil {
		return Reading{}, err
	}
	return p.reading(head)
}

func read(v View) (Reading, error) {
	r := Reading{Signed: map[string]int64{}, Chains: map[int64]Hash{}}
	t, err := topOf(v)
	if err != nil && !errors.Is(err, ErrDamaged) {
		return r, err
	}
	if err != nil {
		r.Findings = append(r.Findings, finding(err))
	}
	had, wrong, err := policiesOf(v, t)
	if err != nil {
		return r, err
	}
	r.Policies = had
	cuts, err := v.Cuts()
	if err != nil {
		return r, err
	}
	cut := map[int64]bool{}
	for _, c := range cuts {
		r.Signed[c.ID] = c.Position
		cut[c.Position] = true
	}
	var last Head
	p := proof{top: t}
	err = eachParsed(v, func(row Row, is parsed) {
		e, text := r.hold(row, is, last)
		p.row(row, text)
		last = Head{row.Position, row.Chain}
		if cut[row.Position] {
			r.Chains[row.Position] = row.Chain
		}
		if e != nil {
			r.add(e, row.Position)
		}
	})
	r.Head = last
	if err != nil {
		return r, err
	}
	r.Findings = append(r.Findings, p.end(v, last, cuts, r.Findings)...)
	r.Findings = append(r.Findings, wrong...)
	return r, nil
}

func (r *Reading) add(e *entry.Entry, position int64) {
	r.Entries, r.Positions = append(r.Entries, e), append(r.Positions, position)
}

// hold finds what is wrong with a row after the row before it, and reads its
// entry, nil when it cannot be read. A row is held to the chain that stands in
// the row before, so one damaged text is one finding.
func (r *Reading) hold(row Row, is parsed, before Head) (e *entry.Entry, text Hash) {
	bad := func(what string) {
		r.Findings = append(r.Findings, Finding{row.Position, what})
	}
	switch {
	case row.Position != before.Position+1:
		r.Findings = append(r.Findings, Finding{before.Position + 1, "the row is missing"})
	case before.Chain.then(is.text) != row.Chain:
		bad("the chain does not hold: this row or the one before is not what was taken")
	}
	for _, what := range is.wrong {
		bad(what)
	}
	if is.entry != nil {
		is.entry.Infant = r.oneText(is.entry.Infant)
	}
	return is.entry, is.text
}

// oneText is an infant's key, the same text for all entries of the infant.
func (r *Reading) oneText(key string) string {
	one, ok := r.infants[key]
	if !ok {
		if r.infants == nil {
			r.infants = map[string]string{}
		}
		r.infants[key] = key
		return key
	}
	return one
}

// Ward is what a handover is compiled from.
func (r *Reading) Ward(policy *handover.Policy) handover.Ward {
	return handover.Ward{Entries: r.Entries, Policy: policy, Positions: r.Positions, Signed: r.Signed}
}
