package web

import (
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"cotline/handover"
	"cotline/internal/access"
)

// cotOf is the cot of a line of the ward.
func cotOf(t testing.TB, line *html.Node) string {
	t.Helper()
	for n := range line.Descendants() {
		for _, a := range n.Attr {
			if a.Key == "class" && a.Val == "cot" {
				return wordsOf(n)
			}
		}
	}
	t.Fatal("a line without a cot")
	return ""
}

// Somebody's own infants stand first on her ward's page: whom she charted within a session's time,
// and whom she took over, until somebody else takes them over; by urgency within. Of the others
// it is said how many need somebody now.
func TestOwnInfantsFirst(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	nurse, charge := b.as(t, "nurse"), b.as(t, "charge")
	infants := look(t, b.fern.live()).Ward().Infants
	last := infants[len(infants)-1]
	own := func(v *visitor, query string) (cots []string) {
		t.Helper()
		before, _, grouped := strings.Cut(v.get(t, "/units/fern/ward"+query).body, ">Others ")
		if !grouped {
			return nil
		}
		for _, n := range nodes(t, before, "line") {
			cots = append(cots, cotOf(t, n))
		}
		return cots
	}
	is := func(got []string, want ...*handover.Summary) {
		t.Helper()
		var cots []string
		for _, f := range want {
			cots = append(cots, f.Cot)
		}
		if strings.Join(got, ", ") != strings.Join(cots, ", ") {
			t.Errorf("hers are %v, want %v", got, cots)
		}
	}
	is(own(nurse, ""))
	b.fern.clock.set(b.fern.clock.Now().Add(time.Minute))
	b.fern.chart(t, offered(t, []byte(`{"id":"00000000-0000-4000-8000-00000000bb10","infant":"`+last.Infant+`","kind":"settings","at":"`+
		b.fern.clock.Now().Format(time.RFC3339)+`","by":"nurse","fio2Percent":23}`+"\n"))...)
	is(own(nurse, ""), last)
	is(own(charge, ""))
	now := 0
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		marked := slices.ContainsFunc(f.Attention, func(a handover.Attention) bool { return a.Level == handover.Now })
		if f.Infant != last.Infant && marked {
			now++
		}
	}
	if said := texts(t, nurse.get(t, "/units/fern/ward").body, "count"); !strings.Contains(said, ", of whom "+whole(now)+" need") {
		t.Errorf("of the others it is said %q, want %d", said, now)
	}

	f := b.two(t)[0]
	done := mustGoOn(t, nurse.post(t, "/units/fern/handover/review", nurse.signs(t, "charge", f)))
	is(own(charge, ""))
	path := mustGoOn(t, charge.get(t, done+"/next"))
	mustGoOn(t, charge.post(t, path, charge.takes(t, path)))
	is(own(charge, ""), f)
	is(own(nurse, "?order=urgency"), last)

	b.fern.clock.set(b.fern.clock.Now().Add(14 * time.Hour)) // another shift
	nurse, charge = b.as(t, "nurse"), b.as(t, "charge")
	is(own(nurse, ""))
	is(own(charge, ""), f)
}

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

// An infant is hers who charted on it within a session's time, until somebody takes it over; then
// it is theirs, until she charts on it again.
func TestOwn(t *testing.T) {
	t.Parallel()
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
