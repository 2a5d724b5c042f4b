package handover

import (
	"time"

	"cotline/handover/entry"
)

// Telling tells of one infant outside a handover: who it is, and what an entry says, in
// the words of the handover.
type Telling struct{ r *reading }

// Tell reads a record as at a moment; nil where the infant was not admitted by then. One
// who has left is told of as of the last stay.
func Tell(p *Policy, record *entry.Record, at time.Time) *Telling {
	stays := record.Stays(at)
	if len(stays) == 0 {
		return nil
	}
	return &Telling{newReading(p, record, stays[len(stays)-1], at)}
}

// Called is what an infant is called by. No name is in it where none is to be shown.
type Called struct {
	Cot, MRN, Temporary, Family, Given string
	Restricted, Left                   bool
}

// Called is what the infant is called by.
func (t *Telling) Called() Called {
	r := t.r
	c := Called{Cot: r.cotEntry().Text("cot"), MRN: r.identity("mrn"), Temporary: r.identity("temporary"),
		Restricted: r.restricted(), Left: r.stay.Discharge != nil}
	if !c.Restricted {
		c.Family, c.Given = r.identity("family"), r.identity("given")
	}
	return c
}

// Said is an entry of the infant in words: the label of its kind, and its values.
func (t *Telling) Said(e *entry.Standing) string { return t.r.said(e) }

// ByCot orders infants as a handover does.
func ByCot(a, b Called) int { return byCot(a.Cot, b.Cot) }
