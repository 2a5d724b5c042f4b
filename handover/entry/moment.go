package entry

import (
	"errors"
	"fmt"
	"time"
)

// Moment is an instant as charted: the text keeps the offset it was written
// with (RFC 3339, seconds and offset compulsory).
type Moment struct {
	time.Time
	Text string
}

var errMoment = errors.New("a moment as 2026-03-09T07:30:00+01:00 is wanted")

// ParseMoment reads RFC 3339 with an offset, of a year from 1900 to 2999. Its error says
// what is wanted, and nothing of what was found.
func ParseMoment(s string) (Moment, error) {
	if !isInstant(s) {
		return Moment{}, errMoment
	}
	t, err := time.Parse(time.RFC3339Nano, s)
	if err != nil {
		return Moment{}, errMoment
	}
	if t.Year() < 1900 || t.Year() > 2999 {
		return Moment{}, fmt.Errorf("a year from 1900 to 2999 is wanted")
	}
	return Moment{Time: t, Text: s}, nil
}

// MomentOf is an instant that nobody wrote down, such as the one of acceptance.
func MomentOf(t time.Time) Moment {
	return Moment{Time: t, Text: t.Format(offsetFormat)}
}

// offsetFormat is RFC 3339 with a numeric offset even at Greenwich.
const offsetFormat = "2006-01-02T15:04:05.999999999-07:00"

// Stamp is t in zone, RFC 3339 with a numeric offset (+00:00, never Z).
func Stamp(t time.Time, zone *time.Location) string {
	return t.In(zone).Format(offsetFormat)
}

// AppendStamp appends the stamp of t in zone.
func AppendStamp(b []byte, t time.Time, zone *time.Location) []byte {
	return t.In(zone).AppendFormat(b, offsetFormat)
}

// Date is a civil day. Its zero value is no day.
type Date struct{ days int } // days since 1970-01-01, plus one

// DateOf is the civil day of t in zone.
func DateOf(t time.Time, zone *time.Location) Date {
	y, m, d := t.In(zone).Date()
	return civil(y, m, d)
}

func civil(y int, m time.Month, d int) Date {
	return Date{int(floorDiv(time.Date(y, m, d, 0, 0, 0, 0, time.UTC).Unix(), 86400)) + 1}
}

func floorDiv(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// ParseDate reads a day as 2026-03-09. Its error says what is wanted.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse("2006-01-02", s)
	if err != nil {
		return Date{}, fmt.Errorf("a date as 2026-03-09 is wanted")
	}
	return civil(t.Date()), nil
}

func (d Date) utc() time.Time { return time.Unix(int64(d.days-1)*86400, 0).UTC() }

// IsZero says whether it is no day.
func (d Date) IsZero() bool { return d.days == 0 }

func (d Date) String() string { return d.utc().Format("2006-01-02") }

// Add is the day n days later, earlier where n is negative.
func (d Date) Add(n int) Date { return Date{d.days + n} }

// Sub is how many days lie from e to d.
func (d Date) Sub(e Date) int { return d.days - e.days }

// Before says whether d comes before e.
func (d Date) Before(e Date) bool { return d.days < e.days }

// Start is the first instant of the day in zone; where a clock change skips
// midnight, the first instant after the gap.
func (d Date) Start(zone *time.Location) time.Time {
	return LocalTime(d, 0, 0, zone)
}

// LocalTime is the instant of a civil day and clock time in zone. A time that a
// clock change skips moves forward by the gap; one that it repeats is the first.
func LocalTime(d Date, hour, minute int, zone *time.Location) time.Time {
	y, m, day := d.utc().Date()
	wall := time.Date(y, m, day, hour, minute, 0, 0, time.UTC)
	byOld, byNew := around(wall, zone)
	if !clockShows(byOld, wall, zone) && clockShows(byNew, wall, zone) {
		return byNew
	}
	return byOld // of a time that is skipped, too: the old offset carries it past the gap
}
