package handover

import "slices"

// Of is a handover that tells of some infants alone; the others stand in Elsewhere.
func (h *Handover) Of(chosen func(infant, cot string) bool) *Handover {
	out := *h
	out.Infants, out.Elsewhere = nil, slices.Clone(h.Elsewhere)
	for _, f := range h.Infants {
		if chosen(f.Infant, f.Cot) {
			out.Infants = append(out.Infants, f)
		} else {
			out.Elsewhere = append(out.Elsewhere, f)
		}
	}
	out.Left = slices.DeleteFunc(slices.Clone(h.Left), func(l Left) bool { return !chosen(l.Infant, l.Cot) })
	out.Late = slices.DeleteFunc(slices.Clone(h.Late), func(l Late) bool {
		return !slices.ContainsFunc(out.Infants, func(f *Summary) bool { return f.Infant == l.Infant })
	})
	return &out
}
