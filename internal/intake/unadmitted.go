package intake

import (
	"fmt"
	"slices"

	"cotline/handover/entry"
)

// Told are the issues of an offer, those of a file of resources without admissions as one.
// Such a file is whole otherwise: its sender leaves the Basic resources out, and every
// entry that it carries would be refused for the same reason.
func (o Offer) Told(issues []entry.Issue) []entry.Issue {
	carried := map[int]*entry.Entry{} // by line
	for _, e := range o.Entries {
		if e.Carried {
			carried[e.Line] = e
		}
	}
	nobodys := map[string]bool{} // infants who were never admitted
	first := 0
	for _, i := range issues {
		if e := carried[i.Line]; e != nil && i.Nobody {
			nobodys[e.Infant] = true
			if first == 0 || i.Line < first {
				first = i.Line
			}
		}
	}
	if len(nobodys) == 0 {
		return issues
	}
	of := "an infant"
	if len(nobodys) > 1 {
		of = fmt.Sprintf("%d infants", len(nobodys))
	}
	told := entry.Issue{Line: first, Code: entry.CodeNotAdmitted, Found: "entries of " + of + " without the admission",
		Allowed: "beside them the Basic resources, which carry admission, identity, move and discharge: their sender names Basic in " +
			"fhir.send, or writes the record with cotline ndjson or cotline bundle --type collection"}
	issues = slices.DeleteFunc(slices.Clone(issues), func(i entry.Issue) bool {
		e := carried[i.Line]
		return e != nil && nobodys[e.Infant]
	})
	at := slices.IndexFunc(issues, func(i entry.Issue) bool { return i.Line > first })
	if at < 0 {
		at = len(issues)
	}
	return slices.Insert(issues, at, told)
}
