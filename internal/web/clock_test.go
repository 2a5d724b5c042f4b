package web

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"cotline/handover/entry"
	"cotline/internal/journal"
)

// A clock that stands before the newest acceptance, or more than a day after it while infants
// are here, is doubted on every page where one charts or hands over, and in what a page that is
// open asks for itself; one charts all the same, and is told again. A clock of another year
// does not settle.
func TestClockThatIsOff(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	taken := b.fern.clock.Now()
	b.access.Now = func() time.Time { return taken } // no session ends by the clock of the record
	v, f := b.as(t, "nurse"), b.infant(t, false)
	pages := []string{wardPath("fern"), infantPath("fern", f.Infant), chartPath("fern", f.Infant), chartPath("fern", f.Infant) + "/round",
		chartPath("fern", "") + "/task", handoversPath("fern"), handoversPath("fern") + "/review"}
	const year = 365 * 24 * time.Hour
	for _, c := range []struct {
		ahead time.Duration
		want  string
	}{
		{time.Minute, ""},
		{-time.Hour,
			"it says 25 Oct 2026 06:30, and the newest entry in no doubt was taken at 25 Oct 2026 07:31, " +
				"which is later."},
		{25*time.Hour + time.Minute,
			"it says 26 Oct 2026 08:31, and the newest entry in no doubt was taken over a day before, " +
				"at 25 Oct 2026 07:31."},
		{73 * year, "over a day before, at 25 Oct 2026 07:31"},
		{73*year + time.Hour, "over a day before, at 25 Oct 2026 07:31"},
		{time.Hour, ""},
	} {
		b.fern.clock.set(taken.Add(c.ahead))
		for _, path := range pages {
			page := v.get(t, path)
			refresh := v.request(t, http.MethodGet, path, nil)
			refresh.Header.Set("X-Refresh", "1")
			for _, got := range []result{page, v.do(t, refresh)} {
				doubted := strings.Contains(got.body, "The server’s clock may be off:")
				if got.status != http.StatusOK || doubted != (c.want != "") || !strings.Contains(got.body, c.want) {
					t.Errorf("%s, %s: %d, doubted %t", c.ahead, path, got.status, doubted)
				}
			}
		}
		path, posted := v.open(t, f, "note")
		got := v.get(t, mustGoOn(t, v.post(t, path, with(posted, "note.text", "seen"))))
		if strings.Contains(got.body, "The server’s clock may be off:") != (c.want != "") || !strings.Contains(got.body, "It is kept.") {
			t.Errorf("%s: the answer to charting is %d", c.ahead, got.status)
		}
	}
}

// What a device keeps while the clock is doubted says so on each page, for as long as it is
// shown; what is kept once all is well does not.
func TestClockThatWasOffWhenKept(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	taken := b.fern.clock.Now()
	b.access.Now = func() time.Time { return taken } // no session ends by the clock of the record
	v, f := b.as(t, "nurse"), b.infant(t, false)
	path, posted := v.open(t, f, "note")
	mustGoOn(t, v.post(t, path, with(posted, "note.text", "seen"))) // she is the nurse's own from here on
	for _, c := range []struct {
		ahead time.Duration
		want  string
	}{
		{-time.Hour, "it said 25 Oct 2026 06:30, the newest entry in no doubt of 25 Oct 2026 07:30, later."},
		{25*time.Hour + time.Minute, "it said 26 Oct 2026 08:31, over a day after the newest entry in no doubt, of 25 Oct 2026 07:30."},
		{time.Hour, ""},
	} {
		b.fern.clock.set(taken.Add(c.ahead))
		k := v.kept(t)
		for path, page := range k.Pages {
			doubted := strings.Contains(page, "The server’s clock may have been off when this was kept:")
			if doubted != (c.want != "") || !strings.Contains(page, c.want) {
				t.Errorf("%s, %s: doubted %t", c.ahead, path, doubted)
			}
		}
		if len(k.Pages) < 2 && c.ahead < 12*time.Hour {
			t.Errorf("%s: %d pages", c.ahead, len(k.Pages))
		}
	}
}

// Somebody at the machine says that the clock is right: the pages that told the doubt no longer
// do, and the server need not be started again.
func TestClockFoundRightElsewhere(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	taken := b.fern.clock.Now()
	b.access.Now = func() time.Time { return taken } // no session ends by the clock of the record
	v := b.as(t, "nurse")
	doubted := func() bool {
		return strings.Contains(v.get(t, wardPath("fern")).body, "The server’s clock may be off:")
	}
	b.fern.clock.set(taken.Add(73 * time.Hour))
	if !doubted() {
		t.Fatal("three days later nothing is doubted")
	}
	other := *b.fern.Journal
	other.AcceptClock = func(journal.Clock, time.Time) *entry.Entry {
		return offered(t, []byte(`{"id":"7a000000-0000-4000-8000-0000000000cc","kind":"note","at":"`+taken.Format(time.RFC3339)+
			`","by":"rn-agate","text":"the clock is right","readOut":true}`))[0]
	}
	if _, err := other.Append(t.Context(), b.fern.policy, journal.Offer(nil)); err != nil {
		t.Fatal(err)
	}
	if doubted() {
		t.Error("the clock is right, and still doubted")
	}
}
