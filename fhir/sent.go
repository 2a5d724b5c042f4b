package fhir

import (
	"errors"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// Sent are the resources that a receiver was sent of one infant, by what was known at a
// moment: all that its entries yield over all stays, of every type, whatever the policy
// leaves out today. What is so only now, such as what is due, is not among them. Nothing
// was sent where the policy lacks an identifier system.
func Sent(p *handover.Policy, codes SiteCodes, infant string, entries []*entry.Entry, known time.Time) ([][]byte, error) {
	x, err := New(handover.Ward{Policy: leavingNothing(p), Entries: entries},
		Ask{At: entry.Forever, Known: known, Infant: infant, Codes: codes, all: true, whole: true, ever: true})
	if errors.As(err, new(*NotSet)) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	out := make([][]byte, 0, len(x.Resources))
	for _, r := range x.Resources {
		out = append(out, r.JSON)
	}
	return out, nil
}
