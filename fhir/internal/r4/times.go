package r4

import (
	"time"

	"cotline/handover/entry"
)

// DateTime is a moment as it was charted, with its offset. One whose text FHIR would
// not take is written by Stamp.
func DateTime(m entry.Moment) string {
	if isTime(m.Text) {
		return m.Text
	}
	return Stamp(m.Time)
}

// Stamp writes an instant in its own offset, in UTC where FHIR has no such offset.
func Stamp(t time.Time) string {
	_, offset := t.Zone()
	if offset%60 != 0 || offset > 14*3600 || offset < -14*3600 {
		offset = 0
	}
	return t.In(time.FixedZone("", offset)).Format("2006-01-02T15:04:05.999999999-07:00")
}

// Later is a moment so many seconds on, in the same offset. Seconds are a charted
// decimal; false: too long to be one.
func Later(m entry.Moment, seconds string) (string, bool) {
	d, err := time.ParseDuration(seconds + "s")
	if err != nil {
		return "", false
	}
	_, offset := m.Zone()
	return Stamp(m.Add(d).In(time.FixedZone("", offset))), true
}
