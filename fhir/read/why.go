package read

import (
	"slices"

	"cotline/handover/entry"
)

// Why a resource is left aside, where something follows from it.
const (
	unsigned = "name with --by under whose staff key it is charted"
	ofAStay  = "the stay of a Patient: it is read with the Patient who is admitted or identified"

	familiar     = "known to the record, and nothing of it differs"
	retracted    = "retracted in the record: it stays so"
	retractedToo = "retracted in the record already"
	neverCharted = "entered in error, and not charted here"
	byAPerson    = "corrected in the record by a person, who decides"
	issuedBefore = "issued before what is charted of it"
	asBefore     = "as it was charted before it was corrected; with issued after that, it is taken as a correction"
)

// settled are reasons for which nothing is left to do: the record says it already, or a
// person decided otherwise.
var settled = []string{familiar, retracted, retractedToo, neverCharted, byAPerson, issuedBefore, asBefore}

// ToAdd says what somebody may do of whom nothing was taken, by why each resource was
// left aside; empty: nothing is left to do.
func ToAdd(aside []entry.Issue) string {
	named := func(reasons ...string) func(entry.Issue) bool {
		return func(i entry.Issue) bool { return slices.Contains(reasons, i.Allowed) }
	}
	rest := slices.DeleteFunc(slices.Clone(aside), named(settled...))
	switch {
	case slices.ContainsFunc(rest, named(unsigned)):
		return unsigned
	case len(rest) == 0, len(rest) < len(aside) && !slices.ContainsFunc(rest, func(i entry.Issue) bool { return i.Allowed != ofAStay }):
		return ""
	}
	return "why each was left aside stands above"
}
