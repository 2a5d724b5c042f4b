package web

import (
	"encoding/json"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"pgregory.net/rapid"
)

// When a form was sent comes from how long ago that is by the device's clock, whatever that
// clock says; what makes it uncertain is said.
func TestSentAt(t *testing.T) {
	now := time.Date(2026, 10, 25, 6, 30, 0, 0, time.UTC)
	ms := func(d time.Duration) string { return strconv.FormatInt(d.Milliseconds(), 10) }
	skew := func(d time.Duration) string { return ms(d - time.Duration(now.UnixMilli())*time.Millisecond) }
	for name, x := range map[string]struct {
		device, now, skew string
		ago               time.Duration
		doubt             string
	}{
		"ten minutes ago":                     {ms(0), ms(10 * time.Minute), "", 10 * time.Minute, ""},
		"at once":                             {ms(time.Hour), ms(time.Hour), "", 0, ""},
		"a device's clock that is wrong":      {ms(0), ms(time.Hour), skew(time.Hour), time.Hour, ""},
		"the clock was set back":              {ms(time.Hour), ms(time.Hour - time.Millisecond), "", 0, "set back"},
		"a week":                              {ms(0), ms(longestWait), "", longestWait, ""},
		"more than a week":                    {ms(0), ms(longestWait + time.Millisecond), "", 0, "more than 7 days ago"},
		"no moment":                           {"soon", ms(0), "", 0, "cannot be read"},
		"no moment of delivery":               {ms(0), "", "", 0, "cannot be read"},
		"the clock was set on by 47 minutes":  {ms(0), ms(time.Hour), skew(13 * time.Minute), 0, "changed by about 47 minutes"},
		"the clock ran on by what is allowed": {ms(0), ms(time.Hour), skew(58 * time.Minute), time.Hour, ""},
	} {
		sent, doubt := sentAt(now, x.device, x.now, x.skew, 2*time.Minute)
		if !strings.Contains(doubt, x.doubt) || (x.doubt == "") != (doubt == "") || doubt == "" && !sent.Equal(now.Add(-x.ago)) {
			t.Errorf("%s: %s, %q", name, now.Sub(sent), doubt)
		}
	}
}

// Whatever a device says, the moment is not to come, and not longer ago than what waits may be.
func TestSentAtNeverAbsurd(t *testing.T) {
	now := time.Date(2026, 10, 25, 6, 30, 0, 0, time.UTC)
	rapid.Check(t, func(r *rapid.T) {
		of := func(name string) string { return strconv.FormatInt(rapid.Int64().Draw(r, name), 10) }
		sent, doubt := sentAt(now, of("device"), of("now"), rapid.SampledFrom([]string{"", of("skew")}).Draw(r, "known"), 2*time.Minute)
		if sent.After(now) || now.Sub(sent) > longestWait {
			r.Fatalf("%s, %q", sent, doubt)
		}
	})
}

// deliver is a form that waited for so long.
func (v *visitor) deliver(t testing.TB, path string, form url.Values, waited time.Duration) result {
	t.Helper()
	device := int64(1_000_000_000_000)
	form = with(form, "sent.device", strconv.FormatInt(device, 10), "sent.now", strconv.FormatInt(device+waited.Milliseconds(), 10))
	r := v.request(t, http.MethodPost, path, form)
	r.Header.Set("X-Deliver", "1")
	return v.do(t, r)
}

// charted is the token that a delivery was charted under, empty where it was not.
func (r result) charted() string {
	var x struct{ Charted string }
	if json.Unmarshal([]byte(r.body), &x) != nil {
		return ""
	}
	return x.Charted
}

// What waited is charted once, with the id and the moment that it was sent with; times that
// were typed are of that moment too.
func TestDelivered(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	f, nurse := b.two(t)[0], b.as(t, "nurse")
	before := b.head(t)
	path, form := nurse.open(t, f, "round")
	form = with(form, "observations.spo2Percent", "91")
	for i := range 3 { // as when the answer to the first never came
		got := nurse.deliver(t, path, form, time.Duration(i)*10*time.Minute+40*time.Minute)
		if got.status != 200 || got.charted() != form.Get("token") {
			t.Fatal(got.status, got.body)
		}
		b.fern.clock.set(b.fern.clock.Now().Add(10 * time.Minute))
	}
	taken := b.since(t, before)
	sent := b.fern.clock.Now().Add(-3*10*time.Minute - 40*time.Minute)
	if len(taken) != 1 || !taken[0].At.Equal(sent) || taken[0].ID != idOf(uuid.MustParse(form.Get("token")), "observations").String() ||
		taken[0].By != "nurse" || !taken[0].Charted.Equal(sent.Add(40*time.Minute)) {
		t.Fatalf("%v", taken)
	}
	// 06:00 was typed yesterday: it is not today's, though that is past.
	b.fern.clock.set(b.fern.clock.Now().Add(20 * time.Hour))
	now := b.fern.clock.Now().In(b.fern.policy.Zone)
	path, form = nurse.openAgain(t, path)
	typed := now.Add(-22 * time.Hour)
	form = with(form, "observations.spo2Percent", "90", "at.time", typed.Format("15:04"))
	if got := nurse.deliver(t, path, form, 21*time.Hour); got.charted() == "" {
		t.Fatal(got.status, got.body)
	}
	if taken = b.since(t, before); len(taken) != 2 || !taken[1].At.Equal(typed.Truncate(time.Minute)) {
		t.Errorf("%v, not %v", taken[1].At, typed)
	}
}

// openAgain signs in, as the session has ended, and opens a form.
func (v *visitor) openAgain(t testing.TB, path string) (string, url.Values) {
	t.Helper()
	v.Jar = v.b.as(t, "nurse").Jar
	return path, shown(t, v.get(t, path).body)
}

// What comes back keeps the moment when it was sent, through whatever is asked.
func TestBackKeepsItsMoment(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	f, nurse := b.two(t)[0], b.as(t, "nurse")
	before := b.head(t)
	path, form := nurse.open(t, f, "round")
	got := nurse.deliver(t, path, with(form, "observations.spo2Percent", "999"), 40*time.Minute)
	if got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "left empty: when you sent it") {
		t.Fatal(got.status, got.body)
	}
	sent := b.fern.clock.Now().Add(-40 * time.Minute)
	b.fern.clock.set(b.fern.clock.Now().Add(10 * time.Minute))
	mustGoOn(t, nurse.post(t, path, with(shown(t, got.body), "observations.spo2Percent", "99")))
	path, form = nurse.open(t, f, "observations")
	got = nurse.deliver(t, path, with(form, "observations.spo2Percent", "998"), 50*time.Minute)
	got = nurse.deliver(t, path, with(shown(t, got.body), "observations.spo2Percent", "98"), 5*time.Minute) // what was mended waited too
	if got.charted() == "" {
		t.Fatal(got.status, got.body)
	}
	path, form = nurse.open(t, f, "weight")
	got = nurse.deliver(t, path, with(form, "weight.weightG", "1204"), 50*time.Minute)
	if !strings.Contains(got.body, "Is that so?") {
		t.Fatal(got.status, got.body)
	}
	mustGoOn(t, nurse.post(t, path, with(shown(t, got.body), "sure", sureOf(got.body))))
	taken := b.since(t, before)
	if len(taken) != 3 {
		t.Errorf("%d entries", len(taken))
	}
	for _, e := range taken {
		if !e.At.Equal(sent) {
			t.Errorf("%s at %s, sent %s", e.Kind, e.At, sent)
		}
	}
}

// A device's clock that was changed: the time is asked, with its day, until it is given.
func TestChangedClockIsAsked(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	f, nurse := b.two(t)[0], b.as(t, "nurse")
	before := b.head(t)
	path, form := nurse.open(t, f, "round")
	got := nurse.deliver(t, path, with(form, "observations.spo2Percent", "91"), -time.Hour)
	if !strings.Contains(got.body, "set back") || got.status != http.StatusUnprocessableEntity {
		t.Fatal(got.status, got.body)
	}
	got = nurse.post(t, path, shown(t, got.body))
	if !strings.Contains(got.body, "Give the time, and the day.") {
		t.Fatal("without a time: ", got.status, got.body)
	}
	if n := len(b.since(t, before)); n > 0 {
		t.Fatalf("%d were taken", n)
	}
	at := b.fern.clock.Now().In(b.fern.policy.Zone).Add(-2 * time.Hour).Truncate(time.Minute)
	mustGoOn(t, nurse.post(t, path, with(shown(t, got.body), "at.time", at.Format("15:04"), "at.day", at.Format("2006-01-02"))))
	if taken := b.since(t, before); len(taken) != 1 || !taken[0].At.Equal(at) {
		t.Errorf("%v", taken)
	}
}

// What somebody filled in is charted by nobody else, and which infant it is stays proven.
func TestDeliveredByItsOwn(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	f, alike := b.two(t)[0], b.infant(t, true)
	nurse, charge := b.as(t, "nurse"), b.as(t, "charge")
	before := b.head(t)
	path, form := nurse.open(t, f, "round")
	if got := charge.deliver(t, path, with(form, "observations.spo2Percent", "91"), time.Minute); got.status != http.StatusConflict {
		t.Errorf("by another: %d", got.status)
	}
	path, form = nurse.open(t, alike, "round")
	for _, digits := range []string{"", "000"} {
		got := nurse.deliver(t, path, with(form, "observations.spo2Percent", "91", "digits", digits), time.Minute)
		if got.charted() != "" || !strings.Contains(got.body, "on the wristband") {
			t.Errorf("digits %q: %d", digits, got.status)
		}
	}
	if taken := b.since(t, before); len(taken) > 0 {
		t.Errorf("%v", taken)
	}
}

// What was typed into a part that the form has no more is told, and nothing of the rest is
// taken without it.
func TestPartThatIsGoneIsTold(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	f, nurse := b.two(t)[0], b.as(t, "nurse")
	path, form := nurse.open(t, f, "round")
	form = with(form, "observations.spo2Percent", "91", "settings.fio2Percent", "30")
	off := with(shown(t, nurse.get(t, chartPath("fern", f.Infant)+"/support").body), "support.state", "stopped", "support.why", "weaned")
	mustGoOn(t, nurse.post(t, chartPath("fern", f.Infant)+"/support", off))
	before := b.head(t)
	got := nurse.deliver(t, path, form, time.Minute)
	if !strings.Contains(got.body, "Settings, Set FiO2: 30") || len(b.since(t, before)) > 0 {
		t.Fatal(got.status, got.body)
	}
	mustGoOn(t, nurse.post(t, path, shown(t, got.body)))
	if taken := b.since(t, before); len(taken) != 1 || taken[0].Kind != "observations" {
		t.Errorf("%v", taken)
	}
}
