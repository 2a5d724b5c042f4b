package handover

import (
	"time"

	"cotline/handover/entry"
)

// inAir is the oxygen of air, percent.
var inAir = entry.Int(21)

// Target is the SpO2 target in force. In air there is no upper bound.
type Target struct {
	From, To  time.Time
	Low, High *entry.Decimal
	Air       bool
}

// Whole says whether it is a target: both bounds, or in air a lower one.
func (t Target) Whole() bool { return t.Low != nil && (t.High != nil || t.Air) }

// against holds a reading to the target, bounds in. In air there is no upper one.
func (t Target) against(v entry.Decimal) string {
	switch {
	case !t.Whole():
		return "no-target"
	case v.Cmp(*t.Low) < 0:
		return "below"
	case !t.Air && v.Cmp(*t.High) > 0:
		return "above"
	}
	return "in-target"
}

// targetIn is the SpO2 target in force at a moment of a spell.
func (r *reading) targetIn(s *spell, at time.Time) Target {
	t := Target{
		Low:  numberAt(r.targetAt("spo2LowPercent", at), "spo2LowPercent"),
		High: numberAt(r.targetAt("spo2HighPercent", at), "spo2HighPercent"),
	}
	if fio2 := numberAt(r.setAt(s, "fio2Percent", at), "fio2Percent"); fio2 != nil {
		t.Air = fio2.Cmp(inAir) == 0
	}
	return t
}
