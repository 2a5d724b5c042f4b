package intake

import (
	"time"

	"cotline/handover/entry"
)

// moment reads a moment, or the day or moment of a birth. What is RFC 3339 already is passed on as it is.
func (t *table) moment(s *entry.Spec, c cell, refuse func(entry.Code, string) (entry.Value, *entry.Issue)) (entry.Value, *entry.Issue) {
	text := func(s string) (entry.Value, *entry.Issue) {
		return entry.NewText(s), nil
	}
	switch c.holds {
	case holdsDay:
		if s.Type == entry.Birth {
			return text(c.when.Format(time.DateOnly))
		}
		return refuse(
			entry.CodeFormat,
			"a date with its time of day, as "+c.when.Format(time.DateOnly)+" 07:30: the cell shows a day alone",
		)
	case holdsText:
		wall, ok := clockTime(plain(c.text))
		if !ok {
			said := plain(c.text)
			if _, err := time.Parse(time.RFC3339, said); err == nil || s.Type == entry.Birth {
				return text(said)
			}
			asShown := "2026-03-09 07:30"
			if day, err := time.Parse(time.DateOnly, said); err == nil {
				asShown = day.Format(time.DateOnly) + " 07:30"
			}
			return refuse(entry.CodeFormat, "date and time by the clock, as "+asShown+", or a moment as 2026-03-09T07:30:00+01:00")
		}
		c.when = wall
	case holdsMoment:
		if day := c.when.Format(time.DateOnly); s.Type != entry.Birth && c.when.Equal(c.when.Truncate(24*time.Hour)) {
			return refuse(entry.CodeFormat, "a date with its time of day, as "+day+" 07:30: the cell holds a day alone; if midnight is "+
				"meant, write it as text, an apostrophe first: '"+day+" 00:00")
		}
	default:
		return refuse(entry.CodeType, "a date with its time of day, or a moment as 2026-03-09T07:30:00+01:00: the cell holds "+
			c.holds.String())
	}
	switch at := entry.Instants(c.when, t.Zone); len(at) {
	case 1:
		return text(entry.Stamp(at[0], t.Zone))
	case 2:
		return refuse(entry.CodeFormat, "which of two: the clock shows it twice; write "+entry.Stamp(at[0],
			t.Zone)+" for the first, "+entry.Stamp(at[1], t.Zone)+" for the second")
	default:
		early, late := entry.AroundGap(c.when, t.Zone)
		return refuse(entry.CodeFormat, "a time that the clock shows: it skips this one; write "+entry.Stamp(late,
			t.Zone)+" if the clock had not been put forward, "+entry.Stamp(early, t.Zone)+" if it had")
	}
}

// clockTime reads a date and time of the clock, without offset, as if at Greenwich: 2026-03-09 07:30, with seconds or
// without, and with either separator of RFC 3339, section 5.6.
func clockTime(s string) (time.Time, bool) {
	const minutes, seconds = "2006-01-02 15:04", "2006-01-02 15:04:05"
	if len(s) != len(minutes) && len(s) != len(seconds) || s[10] != ' ' && s[10] != 'T' {
		return time.Time{}, false
	}
	if s[13] != ':' { // the library takes an hour of one digit
		return time.Time{}, false
	}
	t, err := time.Parse(seconds[:len(s)], s[:10]+" "+s[11:])
	return t, err == nil
}
