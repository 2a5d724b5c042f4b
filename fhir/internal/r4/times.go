package r4

import (
	"regexp"
	"time"

	"cotline/handover/entry"
)

// timeForm is a dateTime or instant of FHIR R4 with a time of day: seconds and
// offset are then compulsory.
var timeForm = regexp.MustCompile(`^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])` +
	`T([01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](\.[0-9]+)?` +
	`(Z|[+-]((0[0-9]|1[0-3]):[0-5][0-9]|14:00))$`)

// DateTime is a moment as it was charted, with its offset. One whose text FHIR would
// not take is written by Stamp.
func DateTime(m entry.Moment) string {
	if timeForm.MatchString(m.Text) {
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
