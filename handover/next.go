package handover

import "slices"

// next is the whole plan: everything that falls due after the moment and within
// the policy's nextWithin, civil days of tomorrow, and every task with its time
// ahead. What is due already, deferred or not, is none, nor is a rotation while
// neither mask nor prongs is on.
func (r *reading) next(all []Due) []Next {
	out := []Next{}
	ahead := slices.Clone(all)
	slices.SortStableFunc(ahead, func(a, b Due) int { return r.moment(a).Compare(r.moment(b)) })
	for _, d := range ahead {
		if d.State != "not-due" {
			continue
		}
		n := Next{What: d.What, Care: d.Care, Task: d.Task, Text: d.Text}
		switch {
		case !d.On.IsZero():
			if n.On = d.On; d.On != r.today().Add(1) {
				continue
			}
		case d.What != "task" && d.At.After(r.at.Add(r.p.NextWithin)):
			continue
		default:
			n.DueAt, n.OverdueAt = d.At, d.OverdueAt
		}
		out = append(out, n)
	}
	return out
}
