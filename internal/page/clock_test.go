package page

import (
	"testing"
	"time"
)

func TestElapsed(t *testing.T) {
	for _, c := range []struct {
		d    time.Duration
		want string
	}{
		{0, "0 min"}, {59 * time.Second, "0 min"}, {59 * time.Minute, "59 min"}, {time.Hour, "1 h"}, {80 * time.Minute, "1 h 20 min"},
		{11*time.Hour + 59*time.Minute, "11 h 59 min"}, {12*time.Hour + 5*time.Minute, "12 h"}, {47*time.Hour + 59*time.Minute, "47 h"},
		{48 * time.Hour, "2 days"}, {24 * 20 * time.Hour, "20 days"},
	} {
		if got := elapsed(c.d); got != c.want {
			t.Errorf("%v is %q, want %q", c.d, got, c.want)
		}
	}
}

// Clock times in the unit's zone; the day when it is another, the year too, and
// first or second in the hour that the clock shows twice.
func TestWhen(t *testing.T) {
	dublin := clock{at: clockOf("2026-10-25T07:30:00Z"), zone: zoneOf("Europe/Dublin"), ages: true}
	for _, c := range []struct{ at, when, told string }{
		{"2026-10-25T03:10:00Z", "03:10", "03:10, 4 h 20 min ago"},
		{"2026-10-25T09:00:00Z", "09:00", "09:00, in 1 h 30 min"},
		{"2026-10-25T07:29:30Z", "07:29", "07:29, now"},
		{"2026-10-24T22:59:00Z", "24 Oct 23:59", "24 Oct 23:59, 8 h 31 min ago"},
		{"2026-10-24T23:00:00Z", "00:00", "00:00, 8 h 30 min ago"},
		{"2026-10-25T00:59:59Z", "01:59 (first)", "01:59 (first), 6 h 30 min ago"},
		{"2026-10-25T01:00:00Z", "01:00 (second)", "01:00 (second), 6 h 30 min ago"},
		{"2026-10-24T23:59:59Z", "00:59", "00:59, 7 h 30 min ago"},
		{"2026-10-25T02:00:00Z", "02:00", "02:00, 5 h 30 min ago"},
		{"2025-12-31T23:00:00Z", "31 Dec 2025 23:00", "31 Dec 2025 23:00, 297 days ago"},
	} {
		if got := dublin.when(clockOf(c.at)); got != c.when {
			t.Errorf("%s is %q, want %q", c.at, got, c.when)
		}
		if got := dublin.told(clockOf(c.at)); got != c.told {
			t.Errorf("%s is told %q, want %q", c.at, got, c.told)
		}
	}
	// Lord Howe Island puts its clock back by half an hour (tz database).
	howe := clock{at: clockOf("2026-04-05T10:00:00+10:30"), zone: zoneOf("Australia/Lord_Howe")}
	if got := howe.when(clockOf("2026-04-05T01:45:00+11:00")); got != "01:45 (first)" {
		t.Errorf("half an hour shown twice is %q", got)
	}
}

func TestDay(t *testing.T) {
	screen := clock{at: clockOf("2026-10-25T07:30:00Z"), zone: zoneOf("Europe/Dublin"), ages: true}
	paper := screen
	paper.ages = false
	for _, c := range []struct{ day, screen, paper string }{
		{"2026-10-25", "Sun 25 Oct, today", "Sun 25 Oct"},
		{"2026-10-26", "Mon 26 Oct, in 1 day", "Mon 26 Oct"},
		{"2026-10-23", "Fri 23 Oct, 2 days ago", "Fri 23 Oct"},
		{"2027-01-02", "Sat 2 Jan 2027, in 69 days", "Sat 2 Jan 2027"},
	} {
		if got := screen.day(day(c.day)); got != c.screen {
			t.Errorf("%s on a screen is %q, want %q", c.day, got, c.screen)
		}
		if got := paper.day(day(c.day)); got != c.paper {
			t.Errorf("%s on paper is %q, want %q", c.day, got, c.paper)
		}
	}
}
