package handover_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover/entry"
)

// rotatedAt is when the rotation after one at a moment is due, in a zone.
func rotatedAt(t *testing.T, zone, every, at string) string {
	t.Helper()
	p := readPolicy(t, `{"timezone":"`+zone+`","every":{"rotationDue":"`+every+`","rotationOverdue":"12h"}}`)
	day := instant(t, p, at).Add(-24 * time.Hour)
	stamp := func(d time.Duration) string { return entry.Stamp(day.Add(d), p.Zone) }
	h := compiled(t, p, stamp(0)+" admission born=2026-03-01 cot=7 mrn=1\n"+
		stamp(time.Hour)+" support state=started mode=cpap\n"+
		stamp(time.Hour)+" interface type=mask\n"+
		at+" interface type=prongs reason=rotation", at)
	return entry.Stamp(*h.Infants[0].Rotation.Value.DueAt.Value, p.Zone)
}

// Intervals are elapsed time, not clock time. Computed from the IANA time zone
// database: the clock goes back at 01:00 UTC on 25 October 2026, forward on 29 March.
func TestT69_RotationOverAClockChange(t *testing.T) {
	for _, c := range []struct{ every, at, want string }{
		{"4h", "2026-10-24T22:00:00+01:00", "2026-10-25T01:00:00+00:00"},
		{"8h", "2026-10-24T22:00:00+01:00", "2026-10-25T05:00:00+00:00"},
		{"3h", "2026-03-28T22:00:00+00:00", "2026-03-29T02:00:00+01:00"},
	} {
		if got := rotatedAt(t, "Europe/London", c.every, c.at); got != c.want {
			t.Errorf("%s after %s is %s, want %s", c.every, c.at, got, c.want)
		}
	}
}

// A window that starts with the shift is as long as the shift truly was. Computed
// from the IANA time zone database.
func TestT70_T71_LengthOfAShift(t *testing.T) {
	for _, c := range []struct {
		zone, start, end string
		hours            float64
	}{
		{"Europe/London", "19:30", "2026-10-25T08:00:00+00:00", 13.5},
		{"Europe/London", "19:30", "2026-03-29T08:00:00+01:00", 11.5},
		{"America/New_York", "19:00", "2026-11-01T07:30:00-05:00", 13.5},
		{"America/New_York", "19:00", "2026-03-08T07:30:00-04:00", 11.5},
		{"Australia/Sydney", "19:00", "2026-04-05T07:00:00+10:00", 13},
		{"Australia/Lord_Howe", "19:00", "2026-04-05T07:00:00+10:30", 12.5},
		{"Asia/Kolkata", "20:00", "2026-10-25T08:00:00+05:30", 12},
	} {
		p := readPolicy(t, `{"timezone":"`+c.zone+`","shifts":["`+c.start+`"]}`)
		h := compiled(t, p, `2026-03-01T12:00:00Z admission born=2026-03-01 cot=7 mrn=1`, c.end)
		if got := h.At.Sub(h.Infants[0].Since).Hours(); got != c.hours {
			t.Errorf("%s to %s: %v h, want %v", c.start, c.end, got, c.hours)
		}
	}
}

// 01:15 comes twice on that night: the offset says which. A moment without one is
// refused, so that somebody asks.
func TestT72_TheHourThatComesTwice(t *testing.T) {
	_, issues := readEntry(entryLine(1, "a", "weight", "2026-10-25T01:15:00", `"weightG":1000`))
	if diff := cmp.Diff([]told{{"at", entry.CodeFormat}}, tell(issues)); diff != "" {
		t.Error(diff)
	}
	p := readPolicy(t, `{"timezone":"Europe/London"}`)
	h := compiled(t, p, admitted+`
#8 2026-10-25T01:15:00+00:00 weight weightG=1000
#9 2026-10-25T01:15:00+01:00 weight weightG=2000`, "25 02:00")
	holds(t, h, "weight.weightG = 1000\nweight.source = #8 25 01:15b n") // an hour after #9
}

// A local time that does not exist cannot be told with an offset; without one it
// is refused.
func TestT73_TheHourThatNeverComes(t *testing.T) {
	_, issues := readEntry(entryLine(1, "a", "weight", "2026-03-29T01:30:00", `"weightG":1000`))
	if diff := cmp.Diff([]told{{"at", entry.CodeFormat}}, tell(issues)); diff != "" {
		t.Error(diff)
	}
}

// FHIR R4, dateTime: with hours and minutes a time zone shall be there. A moment
// is never printed without its offset, and never as Z.
func TestT74_MomentsKeepTheirOffset(t *testing.T) {
	zone := readPolicy(t, `{"timezone":"Europe/London"}`).Zone
	at := time.Date(2026, 10, 25, 1, 15, 0, 0, time.UTC)
	for moment, want := range map[time.Time]string{
		at.Add(-time.Hour): "2026-10-25T01:15:00+01:00", at: "2026-10-25T01:15:00+00:00",
	} {
		if got := entry.Stamp(moment, zone); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}
