package ward

import (
	"fmt"
	"strings"
	"time"
	_ "time/tzdata" // the same civil days on a machine without zone files
)

// zone is the policy's.
var zone = func() *time.Location {
	z, err := time.LoadLocation("Europe/Vienna")
	if err != nil {
		panic(err) // cannot happen: the zones are built in
	}
	return z
}()

// when reads a local moment of the demo: "24 21:40" lies in October 2026, "09-08 11:20" in another month of that year.
// The clock shows the hour from 02:00 to 03:00 twice on the 25th; a b at the end means the second time.
func when(moment string) time.Time {
	wall, second := strings.CutSuffix(moment, "b")
	layout := "2006-01-02 15:04"
	if strings.Index(wall, " ") == len("24") {
		wall = "10-" + wall
	}
	t, err := time.ParseInLocation(layout, "2026-"+wall, zone)
	if err != nil {
		panic(fmt.Sprintf("ward: the scenario says %q, which is no moment", moment))
	}
	return atWall(t, second)
}

// atWall is the moment at which the clock shows the same as at t: the first, or on request the second, of the two.
func atWall(t time.Time, second bool) time.Time {
	shows := t.Format(time.DateTime)
	for _, step := range []time.Duration{-time.Hour, time.Hour} {
		if other := t.Add(step); other.Format(time.DateTime) == shows && (step > 0) == second {
			return other
		}
	}
	return t
}

// local is the civil day of t, days later, at a time of day: the first time that the clock shows it.
func local(t time.Time, days int, clock time.Duration) time.Time {
	y, m, d := t.In(zone).Date()
	return atWall(time.Date(y, m, d+days, 0, int(clock/time.Minute), 0, 0, zone), false)
}

// isDay says whether a moment belongs to the day shift of the unit (07:40 to 19:40).
func isDay(t time.Time) bool {
	clock := t.In(zone).Format("15:04")
	return clock >= "07:40" && clock < "19:40"
}
