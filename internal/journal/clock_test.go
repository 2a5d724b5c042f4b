package journal_test

import (
	"testing"
	"time"

	"cotline/handover/entry"
	"cotline/internal/journal"
)

// The clock that takes entries is held to what the whole unit's were taken at: one that went
// back, one that went ahead though an infant is admitted, also where its admission lies far
// back; what was taken in doubt does not end the doubt, until nothing else was taken lately.
// Who follows the record is told the same as who reads it anew.
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
	id := 1
	type step struct {
		what       string
		at, newest time.Duration
		entries    int
		of         string // empty: the unit
	}
	follow := func(c step) {
		t.Helper()
		followed, cursor := here()
		at = noon.Add(c.at)
		var all []*entry.Entry
		for range c.entries {
			id++
			all = append(all, entryOf(t, id, c.of, "note", "11:00", `"text":"x"`))
		}
		b.chart(t, all...)
		tail, err := b.After(ctx, cursor)
		if err != nil {
			t.Fatal(err)
		}
		read, _ := here()
		for _, got := range []journal.Clock{followed.After(tail.Taken), read} {
			if !got.Newest.Equal(noon.Add(c.newest)) || !got.InUse {
				t.Errorf("%s: %v %v", c.what, got.Newest, got.InUse)
			}
		}
	}
	for _, c := range []step{
		{"the unit's own tells as well", 23 * time.Hour, 23 * time.Hour, 1, ""},
		{"another year", 73 * year, 23 * time.Hour, 1, ""},
		{"another year, again", 73*year + time.Hour, 23 * time.Hour, 1, ""},
		{"back", 24 * time.Hour, 24 * time.Hour, 1, ""},
		{"before", 22 * time.Hour, 24 * time.Hour, 1, ""},
	} {
		follow(c)
	}
	now, _ := here()
	for after, want := range map[time.Duration]entry.ClockState{23 * time.Hour: entry.ClockBehind, 24 * time.Hour: entry.ClockSound,
		48 * time.Hour: entry.ClockSound, 48*time.Hour + time.Second: entry.ClockAhead} {
		if got := now.Judge(noon.Add(after)); got != want {
			t.Errorf("%s: %v", after, got)
		}
	}
	follow(step{"another year, but for two of the 300", 73 * year, 24 * time.Hour, 298, "a"})
	follow(step{"another year, in all of the 300", 73 * year, 73 * year, 2, "a"})
}
