package entry

import "time"

// Instants are the moments, in order, at which the clock of a zone shows a time: one, two when it is put back over it,
// none when it is put forward over it.
func Instants(wall time.Time, zone *time.Location) []time.Time {
	var out []time.Time
	for _, t := range around(wall, zone) {
		if clockShows(t, wall, zone) && (len(out) == 0 || !out[0].Equal(t)) {
			out = append(out, t)
		}
	}
	return out
}

// around is a clock time by the offset in force the day before and by that of the day after.
func around(wall time.Time, zone *time.Location) [2]time.Time {
	var out [2]time.Time
	for i, day := range []time.Duration{-24 * time.Hour, 24 * time.Hour} {
		_, offset := wall.Add(day).In(zone).Zone()
		out[i] = wall.Add(-time.Duration(offset) * time.Second)
	}
	return out
}

// AroundGap is what a time that is skipped may mean: by the new offset, and by the old one.
func AroundGap(wall time.Time, zone *time.Location) (early, late time.Time) {
	t := around(wall, zone)
	return t[1], t[0]
}

// clockShows says whether the clock of a zone shows a time at an instant.
func clockShows(t, wall time.Time, zone *time.Location) bool {
	return t.In(zone).Format(time.DateTime) == wall.Format(time.DateTime)
}

// WhichOfTwo says in words whether a moment is the first or the second at which the clock
// of its zone shows its time; empty where the clock shows that time once.
func WhichOfTwo(t time.Time) string {
	_, offset := t.Zone()
	start, end := t.ZoneBounds()
	if !start.IsZero() {
		_, before := start.Add(-1).Zone()
		if back := seconds(before - offset); t.Sub(start) < back {
			return " (second)"
		}
	}
	if !end.IsZero() {
		_, after := end.Zone()
		if back := seconds(offset - after); end.Sub(t) <= back {
			return " (first)"
		}
	}
	return ""
}

func seconds(n int) time.Duration { return time.Duration(n) * time.Second }
