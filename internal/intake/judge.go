package intake

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// Judge holds what was offered against what is held, as entry.Accept does,
// and adds the faults of the lines that could not be read. Beside such lines an
// entry is blamed for every fault of its own, but not for a reference or an
// admission that may stand in one of them.
func (o Offer) Judge(
	held entry.Holding,
	policy *handover.Policy,
	tolerance time.Duration,
	accepted time.Time,
) ([]*entry.Entry, []entry.Issue) {
	fresh, issues := entry.Accept(held, o.Entries, policy.Lists(), tolerance, accepted)
	if len(o.Issues) == 0 {
		return fresh, issues
	}
	issues = slices.DeleteFunc(issues, func(i entry.Issue) bool { return o.mayBeElsewhere(i, held) })
	issues = append(issues, o.Issues...)
	slices.SortStableFunc(issues, func(a, b entry.Issue) int { return a.Line - b.Line })
	return nil, issues
}

// mayBeElsewhere says whether what an entry lacks may stand in a faulty line: in
// one of the same id or infant, or, where nothing else is known of it, in one
// that could not be read at all.
func (o Offer) mayBeElsewhere(i entry.Issue, held entry.Holding) bool {
	known := func(match func(*entry.Entry) bool) bool { return slices.ContainsFunc(o.Faulty, match) }
	switch i.Code {
	case entry.CodeReference:
		id := strings.ToLower(i.Found)
		return o.Unread > 0 || known(func(e *entry.Entry) bool { return e.ID == id })
	case entry.CodeNotAdmitted, entry.CodeAlreadyAdmitted:
		at := slices.IndexFunc(o.Entries, func(e *entry.Entry) bool { return e.Line == i.Line })
		if at < 0 {
			return false
		}
		infant := o.Entries[at].Infant
		admitted := len(held.Infant(infant)) > 0 || slices.ContainsFunc(o.Entries, func(e *entry.Entry) bool {
			return e.Infant == infant && e.Kind == "admission"
		})
		return !admitted && o.Unread > 0 || known(func(e *entry.Entry) bool { return e.Infant == infant })
	}
	return false
}
