package journal_test

import (
	"errors"
	"testing"
	"time"

	"cotline/handover/entry"
	"cotline/internal/journal"
)

const year = 365 * 24 * time.Hour

// clocked is a record of a unit in which an infant is, whose clock can be set.
type clocked struct {
	*bench
	at time.Time
	id int
}

func newClocked(t *testing.T) *clocked {
	t.Helper()
	c := &clocked{bench: newBench(t), at: noon, id: 1}
	c.Now = func() time.Time { return c.at }
	c.chart(t, admission(t, 1, "a"))
	return c
}

// chartAt charts so many entries, of the unit where of is empty, at so long after noon.
func (c *clocked) chartAt(t *testing.T, after time.Duration, entries int, of string) {
	t.Helper()
	c.at = noon.Add(after)
	var all []*entry.Entry
	for range entries {
		c.id++
		all = append(all, entryOf(t, c.id, of, "note", "11:00", `"text":"x"`))
	}
	c.bench.chart(t, all...)
}

// holds fails unless the clock is sound up to so long after noon, and an infant is here.
func (c *clocked) holds(t *testing.T, what string, sound time.Duration) {
	t.Helper()
	r, _, err := c.Here(ctx, noon)
	if err != nil {
		t.Fatal(err)
	}
	if !r.Clock.Sound.Equal(noon.Add(sound)) || !r.Clock.InUse {
		t.Errorf("%s: %v", what, r.Clock)
	}
}

// The clock that takes entries is held to what the whole unit's were taken at: one that went
// back, one that went ahead though an infant is admitted. What was taken in doubt does not end
// the doubt, however much it is. Who follows the record is told the same as who reads it anew.
func TestClock(t *testing.T) {
	c := newClocked(t)
	for _, x := range []struct {
		what      string
		at, sound time.Duration
		entries   int
		of        string // empty: the unit
	}{
		{"the unit's own tells as well", 23 * time.Hour, 23 * time.Hour, 1, ""},
		{"another year", 73 * year, 23 * time.Hour, 1, ""},
		{"another year, again", 73*year + time.Hour, 23 * time.Hour, 1, ""},
		{"back", 24 * time.Hour, 24 * time.Hour, 1, ""},
		{"before", 22 * time.Hour, 24 * time.Hour, 1, ""},
		{"another year, in a month of a ward", 73 * year, 24 * time.Hour, 2000, "a"},
		{"nothing is new", 73*year + time.Hour, 24 * time.Hour, 0, ""},
	} {
		_, cursor, err := c.Here(ctx, noon)
		if err != nil {
			t.Fatal(err)
		}
		c.chartAt(t, x.at, x.entries, x.of)
		c.holds(t, x.what, x.sound)
		tail, err := c.After(ctx, cursor)
		if err != nil || !tail.Clock.Sound.Equal(noon.Add(x.sound)) || !tail.Clock.InUse {
			t.Errorf("%s, followed: %v %v", x.what, tail.Clock, err)
		}
	}
	r, _, err := c.Here(ctx, noon)
	if err != nil {
		t.Fatal(err)
	}
	for after, want := range map[time.Duration]entry.ClockState{23 * time.Hour: entry.ClockBehind, 24 * time.Hour: entry.ClockSound,
		48 * time.Hour: entry.ClockSound, 48*time.Hour + time.Second: entry.ClockAhead} {
		if got := r.Clock.Judge(noon.Add(after)); got != want {
			t.Errorf("%s: %v", after, got)
		}
	}
}

// A ward that nobody is in may lie as long as it likes.
func TestClockOfAnEmptyWard(t *testing.T) {
	c := newClocked(t)
	c.at = noon.Add(time.Hour)
	c.chart(t, entryOf(t, 2, "a", "discharge", "12:30", `"to":"home"`))
	r, _, err := c.Here(ctx, noon)
	if err != nil || r.Clock.InUse || r.Clock.Judge(noon.Add(year)) != entry.ClockSound {
		t.Errorf("%v %v", r.Clock, err)
	}
}

// Somebody says that a clock in doubt is right: an entry says so, with what was odd, and the
// doubt ends. Nobody can say so of one that is in no doubt.
func TestClockFoundRight(t *testing.T) {
	c := newClocked(t)
	c.chartAt(t, 3*24*time.Hour, 400, "a") // a weekend on paper
	c.holds(t, "in doubt", 0)
	var told journal.Clock
	c.AcceptClock = func(was journal.Clock, now time.Time) *entry.Entry {
		if told = was; !now.Equal(c.at) {
			t.Error(now)
		}
		return entryOf(t, 900, "", "note", "11:00", `"text":"found right"`)
	}
	c.at = c.at.Add(time.Hour)
	receipt, err := c.Append(ctx, c.policy, journal.Offer(nil))
	if err != nil || receipt.Taken != 1 || !told.Sound.Equal(noon) || receipt.Clock != told {
		t.Fatal(receipt, err, told)
	}
	c.holds(t, "found right", 73*time.Hour)
	if _, err := c.Append(ctx, c.policy, journal.Offer(nil)); !errors.Is(err, journal.ErrClockSound) {
		t.Error(err)
	}
	c.AcceptClock = nil
	c.chartAt(t, 74*time.Hour, 1, "a")
	c.holds(t, "goes on", 74*time.Hour)
}

// A record restored knows which clock was sound, though the newest entries were taken by
// another. One of before knows when its last entry was taken.
func TestClockOfOtherRecords(t *testing.T) {
	c := newClocked(t)
	c.chartAt(t, 73*year, 1, "a")
	restored := &clocked{bench: newBench(t)}
	if _, err := c.Restore(ctx, restored.Store); err != nil {
		t.Fatal(err)
	}
	restored.holds(t, "restored", 0)

	c.chartAt(t, time.Hour, 1, "a")
	before := &clocked{bench: olderTop(t, c.bench, 2, 8, "DELETE FROM goose_db_version WHERE version_id > 4")}
	before.holds(t, "of before", time.Hour)
	if r, err := before.Verify(ctx); err != nil || len(r.Findings) > 0 {
		t.Error(r.Findings, err)
	}
	old := &clocked{bench: older(t, before.bench)}
	old.holds(t, "of long before", time.Hour)
	old.at, old.id, old.Now = noon, 50, func() time.Time { return old.at }
	old.chartAt(t, 73*year, 1, "a")
	old.chartAt(t, 73*year+time.Hour, 1, "a")
	old.holds(t, "of long before, charted into", time.Hour)
}
