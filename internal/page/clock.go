package page

import (
	"fmt"
	"strconv"
	"time"

	"cotline/handover/entry"
)

// clock tells moments in the unit's zone against the moment of the handover. A
// screen shows ages beside the clock times; paper, read later, must not.
type clock struct {
	at   time.Time
	zone *time.Location
	ages bool
	near time.Time // moments from here on, and less far ahead than nearby, stand without their day
}

// nearby is how far off a moment may be to be told without its day in the short form:
// the same time of another day is at least six hours farther.
const nearby = 18 * time.Hour

const (
	hourMinute = "15:04"
	dayMonth   = "2 Jan"
	weekday    = "Mon "
)

// when is the clock time, with the day when that is not the handover's and the moment
// is not near, the year when that is not either, and which of the two it is when the
// clock shows it twice.
func (c clock) when(t time.Time) string {
	local, now := t.In(c.zone), c.at.In(c.zone)
	s := local.Format(hourMinute) + entry.WhichOfTwo(local)
	switch {
	case !c.near.IsZero() && !t.Before(c.near) && t.Sub(c.at) < nearby:
		return s
	case local.Year() != now.Year():
		return local.Format(dayMonth+" 2006 ") + s
	case local.YearDay() != now.YearDay():
		return local.Format(dayMonth+" ") + s
	}
	return s
}

// full has the day in any case.
func (c clock) full(t time.Time) string {
	return t.In(c.zone).Format(weekday + dayMonth + " 2006 15:04 (-07:00)")
}

// told is when and, on a screen, how long ago or how far ahead.
func (c clock) told(t time.Time) string {
	if !c.ages {
		return c.when(t)
	}
	return c.when(t) + ", " + c.age(t)
}

func (c clock) age(t time.Time) string {
	switch d := t.Sub(c.at); {
	case d.Abs() < time.Minute:
		return "now"
	case d > 0:
		return "in " + elapsed(t.Sub(c.at))
	}
	return elapsed(c.at.Sub(t)) + " ago"
}

// civil is a civil day, with the year when that is not the handover's.
func (c clock) civil(d entry.Date) string {
	t, err := time.Parse(time.DateOnly, d.String())
	switch {
	case err != nil:
		return d.String()
	case t.Year() != c.at.In(c.zone).Year():
		return t.Format(dayMonth + " 2006")
	}
	return t.Format(dayMonth)
}

// day is a civil day with its weekday and, on a screen, how far off it is.
func (c clock) day(d entry.Date) string {
	t, err := time.Parse(time.DateOnly, d.String())
	if err != nil {
		return d.String()
	}
	s := t.Format(weekday) + c.civil(d)
	if !c.ages {
		return s
	}
	switch n := d.Sub(entry.DateOf(c.at, c.zone)); {
	case n == 0:
		return s + ", today"
	case n > 0:
		return s + ", in " + count(n, "day", "days")
	default:
		return s + ", " + count(-n, "day", "days") + " ago"
	}
}

// elapsed is a duration as it is said, the rest left out: minutes up to 12 h,
// hours up to two days, then days.
func elapsed(d time.Duration) string {
	minutes := int(d / time.Minute)
	hours := minutes / 60
	switch {
	case hours >= 48:
		return count(hours/24, "day", "days")
	case hours >= 12 || hours > 0 && minutes%60 == 0:
		return fmt.Sprintf("%d h", hours)
	case hours > 0:
		return fmt.Sprintf("%d h %d min", hours, minutes%60)
	}
	return fmt.Sprintf("%d min", minutes)
}

// count is a number and its noun.
func count(n int, one, more string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + more
}
