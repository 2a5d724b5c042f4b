package handover

import "slices"

// mendFirst are the gaps that a nurse should mend first, in this order; the rest
// stand as the table of facts has them.
var mendFirst = []string{"settings", "interface", "tubes", "head", "skin"}

// gapsOf lists the path of every fact that applies and was not charted, and what
// was not computed and why.
func gapsOf(s *Summary) ([]string, []NotComputed) {
	var notComputed []NotComputed
	gaps, first := []string{}, make([][]string, len(mendFirst))
	for _, f := range s.Facts() {
		var missing []string
		f.visit(func(f *Fact) {
			switch {
			case f.Why != "":
				notComputed = append(notComputed, NotComputed{f.Path, f.Why})
			case f.State == NotCharted:
				missing = append(missing, f.Path)
			}
		})
		if i := slices.Index(mendFirst, f.Name); i >= 0 {
			first[i] = missing
		} else {
			gaps = append(gaps, missing...)
		}
	}
	return append(append([]string{}, slices.Concat(first...)...), gaps...), notComputed
}

// visit calls do with a fact and all below it, but where null is no gap.
func (f *Fact) visit(do func(*Fact)) {
	if f.NoGap {
		return
	}
	do(f)
	for i := range f.Parts {
		f.Parts[i].visit(do)
	}
	for i := range f.Items {
		f.Items[i].visit(do)
	}
}
