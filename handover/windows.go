package handover

import (
	"time"

	"cotline/handover/entry"
)

// Windows tells where the window of each infant begins at a moment, when none is
// asked for.
type Windows struct {
	unit *unitReading
	at   time.Time
}

// WindowsOf reads the unit's own entries as they stand.
func WindowsOf(p *Policy, unit *entry.Record, at time.Time) Windows {
	return Windows{newUnitReading(Ward{Policy: p}, unit, at), at}
}

// Holds says whether a stay's end is told at that moment.
func (w Windows) Holds(infant string, stay *entry.Stay) bool {
	since := w.unit.p.shiftStart(w.at)
	if from := w.unit.accepted(infant, stay, w.at); from != nil {
		since = from.asOf
	}
	r := reading{at: w.at, since: since}
	return stay.Discharge != nil && r.inWindow(stay.Discharge.At.Time)
}
