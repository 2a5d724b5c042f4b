package journal

// behind is how a journal ends before what was taken, nil when it does not.
func behind(v View) (*Behind, Mark, error) {
	m, err := v.Mark()
	if err != nil || m.State == Unmarked {
		return nil, m, err
	}
	head, err := v.Head()
	if err != nil {
		return nil, m, err
	}
	b := &Behind{Ends: head, Taken: m}
	if m.State == MarkSpoilt || m.Position > head.Position {
		return b, m, nil
	}
	if m.Position == head.Position {
		if m.Chain == head.Chain {
			b = nil
		}
		return b, m, nil
	}
	row, found, err := v.At(m.Position) // what was charted since is no loss
	if err == nil && (m.Position == 0 || found && row.Chain == m.Chain) {
		b = nil
	}
	return b, m, err
}

// whole fails with *Behind where entries that were taken are gone. A mark that
// cannot be read is a finding: it takes nothing from what is read.
func whole(v View) ([]Finding, Mark, error) {
	b, m, err := behind(v)
	switch {
	case err != nil:
		return nil, m, err
	case b == nil:
		return nil, m, nil
	case m.State == MarkSpoilt:
		return []Finding{{0, b.Error()}}, m, nil
	}
	return nil, m, b
}
