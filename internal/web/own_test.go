package web

import (
	"slices"
	"testing"
	"time"

	"cotline/internal/access"
)

// own is what a page of somebody would take for her infants.
func (b *bench) own(t testing.TB, name string) []string {
	t.Helper()
	r := &request{who: &access.Who{Name: name}, unit: "fern"}
	h := &handingOver{charting: &charting{Server: b.Server, r: r, snap: look(t, b.fern.live()), now: b.fern.clock.Now()}}
	var err error
	if h.all, h.withdrawn, err = b.units["fern"].handings(t.Context()); err != nil {
		t.Fatal(err)
	}
	return h.own()
}

// An infant is hers who charted on it in this shift, until somebody takes it over; then
// it is theirs, until she charts on it again.
func TestOwn(t *testing.T) {
	b := newServer(t, nil)
	f := b.two(t)[0]
	nurse, charge := b.as(t, "nurse"), b.as(t, "charge")
	if own := b.own(t, "nurse"); len(own) > 0 {
		t.Fatalf("at first: %v", own)
	}
	path, posted := nurse.open(t, f, "round")
	mustGoOn(t, nurse.post(t, path, with(posted, "observations.spo2Percent", "92")))
	want := func(when, name string, hers bool) {
		t.Helper()
		if own := b.own(t, name); slices.Contains(own, f.Infant) != hers || len(own) > 1 {
			t.Errorf("%s, of %s: %v", when, name, own)
		}
	}
	want("charted", "nurse", true)
	want("charted", "charge", false)
	b.fern.clock.set(b.fern.clock.Now().Add(time.Minute))
	signed := mustGoOn(t, nurse.post(t, "/units/fern/handover/review", nurse.signs(t, "charge", f)))
	want("signed", "nurse", true)
	take := signed + "/infants/" + f.Infant
	mustGoOn(t, charge.post(t, take, charge.takes(t, take)))
	want("accepted", "charge", true)
	want("accepted", "nurse", false)
	b.fern.clock.set(b.fern.clock.Now().Add(time.Minute))
	path, posted = nurse.open(t, f, "round")
	mustGoOn(t, nurse.post(t, path, with(posted, "observations.spo2Percent", "93")))
	want("charted again", "nurse", true)
	want("charted again", "charge", true)
	b.fern.clock.set(b.fern.clock.Now().Add(access.DefaultLimits.Absolute + time.Hour))
	want("a shift later", "nurse", false)
	want("a shift later", "charge", true)
}
