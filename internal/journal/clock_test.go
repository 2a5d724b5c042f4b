package journal_test

import (
	"testing"
	"time"

	"cotline/handover/entry"
	"cotline/internal/journal"
)

// The clock that takes entries is held to what the whole unit's were taken at: one that went
// back, one that went ahead though an infant is admitted, also where its admission lies far
// back; what was taken in doubt does not end the doubt. Who follows the record is told the
// same as who reads it anew.
func TestClock(t *testing.T) {
	b := newBench(t)
	at := noon
	b.Now = func() time.Time { return at }
	b.chart(t, admission(t, 1, "a"))
	here := func() (journal.Clock, journal.Cursor) {
		t.Helper()
		r, c, err := b.Here(ctx, noon)
		if err != nil {
			t.Fatal(err)
		}
		return r.Clock, c
	}
	const year = 365 * 24 * time.Hour
	for n, c := range []struct {
		what       string
		at, newest time.Duration
	}{
		{"the unit's own tells as well", 23 * time.Hour, 23 * time.Hour},
		{"another year", 73 * year, 23 * time.Hour},
		{"another year, again", 73*year + time.Hour, 23 * time.Hour},
		{"back", 24 * time.Hour, 24 * time.Hour},
		{"before", 22 * time.Hour, 24 * time.Hour},
	} {
		followed, cursor := here()
		at = noon.Add(c.at)
		b.chart(t, note(t, n+2, "x"))
		tail, err := b.After(ctx, cursor)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range tail.Taken {
			followed.Take(x)
		}
		read, _ := here()
		for _, got := range []journal.Clock{followed, read} {
			if !got.Newest.Equal(noon.Add(c.newest)) || !got.InUse {
				t.Errorf("%s: %v %v", c.what, got.Newest, got.InUse)
			}
		}
	}
	now, _ := here()
	for after, want := range map[time.Duration]entry.ClockState{23 * time.Hour: entry.ClockBehind, 24 * time.Hour: entry.ClockSound,
		48 * time.Hour: entry.ClockSound, 48*time.Hour + time.Second: entry.ClockAhead} {
		if got := now.Judge(noon.Add(after)); got != want {
			t.Errorf("%s: %v", after, got)
		}
	}
}
