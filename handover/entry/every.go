package entry

import (
	"fmt"
	"regexp"
	"strconv"
	"time"
)

// Every is an interval of the unit's policy or of a plan: a duration, or none.
// The zero value is none.
type Every struct{ time.Duration }

// None says that nothing falls due by this interval.
func (e Every) None() bool { return e.Duration == 0 }

// Days is the interval in whole civil days, started ones up.
func (e Every) Days() int {
	const day = 24 * time.Hour
	return int((e.Duration + day - 1) / day)
}

var everyForm = regexp.MustCompile(`^(?:([0-9]{1,4})d)?(?:([0-9]{1,5})h)?(?:([0-9]{1,6})m)?$`)

// ParseEvery reads a duration as 90m, 4h, 1h30m or 7d, or none. A duration is
// over 0 and at most 365 days.
func ParseEvery(s string) (Every, error) {
	if s == "none" {
		return Every{}, nil
	}
	d, err := ParseDuration(s)
	if err == nil && d == 0 {
		err = fmt.Errorf("a duration over 0")
	}
	return Every{d}, err
}

// ParseDuration reads 90m, 4h, 1h30m or 7d, at most 365 days.
func ParseDuration(s string) (time.Duration, error) {
	m := everyForm.FindStringSubmatch(s)
	if m == nil || s == "" {
		return 0, fmt.Errorf("a duration as 90m, 4h, 1h30m or 7d")
	}
	var d time.Duration
	for i, unit := range []time.Duration{24 * time.Hour, time.Hour, time.Minute} {
		n, _ := strconv.Atoi("0" + m[i+1])
		d += time.Duration(n) * unit
	}
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
