package journal

import "fmt"

// proof holds a whole reading to the top: that it ends where the journal ends, and
// that all of it is what was kept.
type proof struct {
	top  *top // nil: nothing is kept to hold it to
	seal Hash
	sums []Hash
	ids  []string
	at   []int64
}

func (p *proof) row(row Row, text Hash) {
	if p.top == nil {
		return
	}
	sum := row.sumOf(text)
	p.seal = p.seal.then(sum)
	p.sums, p.ids, p.at = append(p.sums, sum), append(p.ids, row.ID), append(p.at, row.Position)
}

// end tells what is wrong beside what was found already.
func (p *proof) end(v View, last Head, cuts []Signed, found []Finding) (more []Finding) {
	if p.top == nil {
		return nil
	}
	switch {
	case last.Position < p.top.Position:
		more = append(more, Finding{last.Position + 1, fmt.Sprintf("the rows from here to position %d are missing", p.top.Position)})
	case last.Position > p.top.Position:
		more = append(more, Finding{p.top.Position + 1, "the record ends before this row"})
	case p.seal != p.top.seal && len(found) == 0:
		more = p.differing(v)
	}
	var seal Hash
	for _, c := range cuts {
		seal = seal.then(c.sum())
	}
	switch {
	case int64(len(cuts)) != p.top.cuts:
		more = append(more, Finding{0, fmt.Sprintf("of %d signed handovers, what %d were signed on is found", p.top.cuts, len(cuts))})
	case seal != p.top.cutSeal:
		more = append(more, Finding{0, "what a handover was signed on is not what was kept"})
	}
	return more
}

// differing are the rows that the index knows otherwise.
func (p *proof) differing(v View) (out []Finding) {
	s := newStored(v, p.top)
	for i, id := range p.ids {
		position, sum, err := s.item("id/" + id)
		if err != nil {
			break
		}
		if position != p.at[i] || sum != p.sums[i] {
			out = append(out, Finding{p.at[i], "the row is not what was kept: its position, id, infant, kind, text or moment of " +
				"acceptance changed"})
		}
	}
	if len(out) == 0 {
		out = []Finding{{0, "the rows are not what was kept; which of them cannot be told"}}
	}
	return out
}
