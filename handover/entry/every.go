package entry

import (
	"fmt"
	"strconv"
	"time"
)

// Every is an interval of the unit's policy or of a plan: a duration, or none.
// The zero value is none.
type Every struct{ time.Duration }

// None says that nothing falls due by this interval.
func (e Every) None() bool { return e.Duration == 0 }

// Days is the interval in civil days; a day that is begun counts as one.
func (e Every) Days() int {
	const day = 24 * time.Hour
	return int((e.Duration + day - 1) / day)
}

// ParseEvery reads none, or a duration as 90m, 4h, 1h30m or 7d: whole minutes, over 0, at
// most 365 days. Its error says what is wanted.
func ParseEvery(s string) (Every, error) {
	if s == "none" {
		return Every{}, nil
	}
	d, err := ParseDuration(s)
	switch {
	case err != nil:
	case d == 0:
		err = fmt.Errorf("a duration over 0")
	case d%time.Minute != 0:
		err = fmt.Errorf("a duration in whole minutes")
	}
	return Every{d}, err
}

// ParseDuration reads a duration as 90m, 4h, 1h30m, 7d or 60s: 0 to 365 days, to the
// second. Its error says what is wanted.
func ParseDuration(s string) (time.Duration, error) {
	days, hours, minutes, seconds, ok := durationParts(s)
	if !ok {
		return 0, fmt.Errorf("a duration as 90m, 4h, 1h30m or 7d")
	}
	d := time.Duration(days)*24*time.Hour + time.Duration(hours)*time.Hour + time.Duration(minutes)*time.Minute +
		time.Duration(seconds)*time.Second
	if d > 365*24*time.Hour {
		return 0, fmt.Errorf("a duration of at most 365d")
	}
	return d, nil
}

// String is the interval as a policy writes it.
func (e Every) String() string {
	if e.None() {
		return "none"
	}
	d, s := e.Duration, ""
	for _, u := range []struct {
		size time.Duration
		mark string
	}{{24 * time.Hour, "d"}, {time.Hour, "h"}, {time.Minute, "m"}} {
		if n := d / u.size; n > 0 {
			s += strconv.Itoa(int(n)) + u.mark
			d -= n * u.size
		}
	}
	return s
}
