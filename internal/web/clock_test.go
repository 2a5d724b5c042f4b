package web

import (
	"net/http"
	"strings"
	"testing"
	"time"
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
			"it says 25 Oct 2026 06:30, and the newest entry was taken at 25 Oct 2026 07:31, " +
				"which is later."},
		{25*time.Hour + time.Minute,
			"it says 26 Oct 2026 08:31, and the newest entry was taken more than a day before, " +
				"at 25 Oct 2026 07:31."},
		{73 * year, "more than a day before, at 25 Oct 2026 07:31"},
		{73*year + time.Hour, "more than a day before, at 25 Oct 2026 07:31"},
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
