package cli

import (
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// tellDoubts asks about what was taken and may be a slip, a line each: what the handover
// lists among its doubts of these very entries. They are taken all the same.
func (c *charting) tellDoubts(ward handover.Ward, at time.Time, taken []*entry.Entry) {
	ids := map[string]bool{}
	for _, e := range taken {
		ids[e.ID] = true
	}
	h := handover.Compile(ward, at, at, time.Time{})
	for _, f := range h.Infants {
		for _, d := range f.Doubts {
			if ids[d.Entry] {
				c.program.say("doubt: cot %s: %s; chart a correction if it is a slip (entry %s)", f.Cot, d.Text, d.Entry)
			}
		}
	}
}
