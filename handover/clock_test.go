package handover_test

import (
	"strings"
	"testing"
	"time"

	"cotline/handover/entry"
)

func TestClockDoubt(t *testing.T) {
	const day = 24 * time.Hour
	for name, c := range map[string]struct {
		ahead time.Duration
		inUse bool
		want  string
	}{
		"at once": {0, true, ""}, "a minute later": {time.Minute, true, ""}, "a day later": {day, true, ""},
		"over a day later": {day + 1, true, "more than a day after"}, "years later": {73 * 365 * day, true, "more than a day after"},
		"over a day, nobody there": {30 * day, false, ""}, "a moment before": {-1, true, "before the newest"},
		"years before": {-365 * day, false, "before the newest"},
	} {
		got := entry.ClockDoubt(afterNoon.Add(c.ahead), afterNoon, c.inUse)
		if (got == "") != (c.want == "") || !strings.Contains(got, c.want) {
			t.Errorf("%s: %q", name, got)
		}
	}
	got := entry.ClockDoubt(afterNoon.Add(time.Minute), afterNoon.Add(time.Minute+time.Millisecond), true)
	if !strings.Contains(got, ":00"+afterNoon.Format("-07:00")+" by") || !strings.Contains(got, ":00.001") {
		t.Error("a fraction apart:", got)
	}
	if got := entry.ClockDoubt(afterNoon, time.Time{}, true); got != "" {
		t.Error("a new record:", got)
	}
}
