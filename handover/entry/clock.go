package entry

import "time"

// A wall is what a clock shows, written as a time of UTC.

// Instants are the moments at which the clock of a zone shows a time, in order: one as a
// rule, two of a time that comes twice as the clock is put back, none of one that is skipped.
func Instants(wall time.Time, zone *time.Location) []time.Time {
	var out []time.Time
	byOld, byNew := around(wall, zone)
	for _, t := range []time.Time{byOld, byNew} {
		if clockShows(t, wall, zone) && (len(out) == 0 || !out[0].Equal(t)) {
			out = append(out, t)
		}
	}
	return out
}

// around is the instant of a clock time by the offset in force a day before it, and by that
// of a day after: between them lies any change of the clock.
func around(wall time.Time, zone *time.Location) (byOld, byNew time.Time) {
	by := func(day time.Duration) time.Time {
		_, offset := wall.Add(day).In(zone).Zone()
		return wall.Add(-seconds(offset))
	}
	return by(-24 * time.Hour), by(24 * time.Hour)
}

// AroundGap is what a time that is skipped may mean: early by the new offset, late by the
// old one.
func AroundGap(wall time.Time, zone *time.Location) (early, late time.Time) {
	late, early = around(wall, zone)
	return early, late
}

// clockShows says whether the clock of a zone shows a time at an instant.
func clockShows(t, wall time.Time, zone *time.Location) bool {
	_, offset := t.In(zone).Zone()
	return t.Add(seconds(offset)).Equal(wall)
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
