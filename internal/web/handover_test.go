package web

import (
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
)

// two are infants of the ward without a look-alike.
func (b *bench) two(t testing.TB) (out []*handover.Summary) {
	t.Helper()
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		if len(f.LookAlikes) == 0 && f.Support.State == "on" {
			out = append(out, f)
		}
	}
	if len(out) < 2 {
		t.Fatal("the ward has too few")
	}
	return out[:2]
}

// signs is the form of the review with some infants chosen.
func (v *visitor) signs(t testing.TB, to string, infants ...*handover.Summary) url.Values {
	t.Helper()
	got := v.get(t, "/units/fern/handover/review")
	if got.status != http.StatusOK {
		t.Fatal(got.status, got.body)
	}
	posted := shown(t, got.body)
	posted["infant"] = nil
	for _, f := range infants {
		posted.Add("infant", f.Infant)
	}
	return with(posted, "other", to)
}

// takes is the form of an infant with all of the five ticked, past the question which
// infant this is.
func (v *visitor) takes(t testing.TB, path string) url.Values {
	t.Helper()
	got := v.get(t, path)
	if got.status != http.StatusOK {
		t.Fatal(path, got.status, got.body)
	}
	posted := shown(t, got.body)
	for _, what := range handover.Confirmations {
		if strings.Contains(got.body, `name="confirmed" value="`+what+`"`) {
			posted.Add("confirmed", what)
		}
	}
	return with(posted, "readBack", "yes")
}

func kindsOf(all []*entry.Entry) (out []string) {
	for _, e := range all {
		out = append(out, e.Kind)
	}
	return out
}

// A handover of two infants: reviewed, signed under the name of who is signed in, taken
// over infant by infant; what nobody accepted is listed on the ward's page.
func TestHandover(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	nurse, charge := b.as(t, "nurse"), b.as(t, "charge")
	two, before := b.two(t), b.head(t)

	done := mustGoOn(t, nurse.post(t, "/units/fern/handover/review", nurse.signs(t, "charge", two...)))
	if got := nurse.get(t, done); got.status != http.StatusOK || strings.Count(got.body, "NOT ACCEPTED") != 2 {
		t.Fatalf("%d %s", got.status, got.body)
	}
	signed := b.since(t, before)
	if len(signed) != 1 || signed[0].By != "nurse" || signed[0].Text("to") != "charge" || len(signed[0].List("infants")) != 2 {
		t.Fatalf("%v", signed)
	}
	on, found, err := b.fern.Signed(t.Context(), signed[0].ID)
	if err != nil || !found {
		t.Fatalf("not signed: %v", err)
	}
	if page := nurse.get(t, done).body; !strings.Contains(page, on.Chain.String()[:12]) {
		t.Error("the page has not the chain that it was signed on")
	}
	for _, f := range two {
		for _, page := range []string{"/units/fern/ward", "/units/fern/handover"} {
			if said := texts(t, charge.get(t, page).body, "cots"); !strings.Contains(said, "cot "+f.Cot) {
				t.Errorf("%s: cot %s is not listed in %q", page, f.Cot, said)
			}
		}
	}

	first := mustGoOn(t, charge.get(t, done+"/next"))
	if first != takeOverPath("fern", signed[0].ID, two[0].Infant) {
		t.Fatalf("goes on at %s", first)
	}
	posted := charge.takes(t, first)
	posted.Set("asked", "Whose turn is the rotation?")
	second := mustGoOn(t, charge.get(t, mustGoOn(t, charge.post(t, first, posted))))
	if second != takeOverPath("fern", signed[0].ID, two[1].Infant) {
		t.Fatalf("goes on at %s", second)
	}
	if said := texts(t, charge.get(t, "/units/fern/ward").body, "cots"); strings.Contains(said, "cot "+two[0].Cot+" ") ||
		!strings.Contains(said, "cot "+two[1].Cot) {
		t.Errorf("the ward lists %q", said)
	}

	// What is not ticked is asked about, then stands as not confirmed.
	posted = charge.takes(t, second)
	posted["confirmed"] = slices.DeleteFunc(posted["confirmed"], func(s string) bool { return s == "skin" })
	got := charge.post(t, second, posted)
	if got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "Not ticked: skin") {
		t.Fatalf("%d %s", got.status, got.body)
	}
	if end := mustGoOn(t, charge.get(t, mustGoOn(t, charge.post(t, second, shown(t, got.body))))); end != done {
		t.Errorf("ends at %s", end)
	}
	if said := texts(t, charge.get(t, "/units/fern/ward").body, "cots"); strings.Contains(said, "cot "+two[1].Cot) {
		t.Errorf("the ward still lists %q", said)
	}
	h := look(t, b.fern.live()).Ward()
	for _, f := range h.Infants {
		i := slices.IndexFunc(two, func(x *handover.Summary) bool { return x.Infant == f.Infant })
		if i < 0 {
			continue
		}
		a := f.HandedOver.Accepted
		if a == nil || a.By != "charge" || a.ReadBack == nil || !*a.ReadBack {
			t.Fatalf("cot %s: %+v", f.Cot, f.HandedOver)
		}
		if want := [][]string{{}, {"skin"}}[i]; !slices.Equal(a.NotConfirmed, want) {
			t.Errorf("cot %s: not confirmed %v, want %v", f.Cot, a.NotConfirmed, want)
		}
	}
	r, err := b.access.Trace(
		t.Context(),
		console,
		from,
		"fern",
		access.About{Infant: two[1].Infant, Kinds: []access.EventKind{access.HandedOver}},
	)
	if err != nil || len(r.Events) != 2 || r.Events[0].Whole {
		t.Errorf("%v %v", r.Events, err)
	}
}

// texts are the words of what has a class.
func texts(t testing.TB, page, class string) string {
	t.Helper()
	var out []string
	for _, n := range nodes(t, page, class) {
		out = append(out, wordsOf(n))
	}
	return strings.Join(out, "\n")
}

// What is sent twice is taken once; of two tablets that take over the same infant the
// second is told, and the record has one acceptance.
func TestHandoverTwice(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	nurse, one, other := b.as(t, "nurse"), b.as(t, "charge"), b.as(t, "charge")
	two, before := b.two(t), b.head(t)
	posted := nurse.signs(t, "charge", two...)
	done := mustGoOn(t, nurse.post(t, "/units/fern/handover/review", posted))
	b.fern.clock.set(b.fern.clock.Now().Add(time.Minute))
	if again := mustGoOn(t, nurse.post(t, "/units/fern/handover/review", posted)); again != done {
		t.Errorf("sent again it leads to %s", again)
	}
	path := mustGoOn(t, one.get(t, done+"/next"))
	a, c := one.takes(t, path), other.takes(t, path)
	c.Set("asked", "on another tablet")
	mustGoOn(t, one.post(t, path, a))
	mustGoOn(t, one.post(t, path, a))
	mustGoOn(t, other.post(t, path, c))
	if got := kindsOf(b.since(t, before)); !slices.Equal(got, []string{"handover", "acceptance"}) {
		t.Errorf("charted: %v", got)
	}
}

// Two tablets at the very same moment: one acceptance.
func TestTwoTabletsTakeOver(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	nurse := b.as(t, "nurse")
	two, before := b.two(t), b.head(t)
	done := mustGoOn(t, nurse.post(t, "/units/fern/handover/review", nurse.signs(t, "charge", two...)))
	tablets := []*visitor{b.as(t, "charge"), b.as(t, "charge"), b.as(t, "charge")}
	path := mustGoOn(t, tablets[0].get(t, done+"/next"))
	answers := make(chan result)
	var posted []url.Values // all are read before any is sent
	for i, v := range tablets {
		posted = append(posted, with(v.takes(t, path), "asked", strings.Repeat("x", i)))
	}
	for i, v := range tablets {
		go func() { answers <- v.post(t, path, posted[i]) }()
	}
	went := 0
	for range tablets {
		switch got := <-answers; got.status {
		case http.StatusSeeOther:
			went++
		case http.StatusUnprocessableEntity:
			if !strings.Contains(got.body, "charted already") {
				t.Error(got.body)
			}
		default:
			t.Error(got.status, got.body)
		}
	}
	if got := kindsOf(b.since(t, before)); went == 0 || !slices.Equal(got, []string{"handover", "acceptance"}) {
		t.Errorf("%d went on; charted: %v", went, got)
	}
}

// Nobody signs what she did not read: what was charted meanwhile is shown first, and so is
// a page that was read too long ago; nobody hands over to herself, or takes over from
// herself, and nothing is signed under another name.
func TestHandoverIsRead(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	nurse := b.as(t, "nurse")
	two, before := b.two(t), b.head(t)
	review := "/units/fern/handover/review"
	refused := func(why string, posted url.Values) result {
		t.Helper()
		got := nurse.post(t, review, posted)
		if got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, why) {
			t.Errorf("%q: %d %s", why, got.status, got.body)
		}
		return got
	}
	refused("choose the infants", nurse.signs(t, "charge"))
	refused("Say who takes over", nurse.signs(t, "", two...))
	refused("That is you", nurse.signs(t, "nurse", two...))
	refused("Read this page", url.Values{"infant": {two[0].Infant}, "to": {"charge"}})
	refused("Found", with(nurse.signs(t, "no key", two...)))
	posted := nurse.signs(t, "charge", two...)
	posted.Set("by", "charge")
	b.fern.clock.set(b.fern.clock.Now().Add(2 * time.Hour))
	nurse = b.as(t, "nurse") // sessions ended meanwhile
	refused("too long ago", posted)
	posted = nurse.signs(t, "charge", two...)
	b.fern.chart(t, offered(t, []byte(`{"id":"00000000-0000-4000-8000-00000000bbbb","infant":"`+two[1].Infant+`","kind":"settings","at":"`+
		b.fern.clock.Now().Format(time.RFC3339)+`","by":"rn-agate","fio2Percent":99}`+"\n"))...)
	got := refused("something was charted meanwhile", posted)
	if kinds := kindsOf(b.since(t, before)); !slices.Equal(kinds, []string{"settings"}) {
		t.Fatalf("charted: %v", kinds)
	}
	done := mustGoOn(t, nurse.post(t, review, with(shown(t, got.body), "by", "charge")))
	id := done[strings.LastIndex(done, "/")+1:]
	if e := b.since(t, before); len(e) != 2 || e[1].By != "nurse" {
		t.Errorf("signed: %v", e)
	}
	path, charge := takeOverPath("fern", id, two[0].Infant), b.as(t, "charge")
	if got := nurse.get(t, path); got.header.Get("Location") != done {
		t.Errorf("who signed takes over: %d", got.status)
	}
	if got := nurse.post(t, path, url.Values{"readBack": {"yes"}}); got.header.Get("Location") != done {
		t.Errorf("who signed takes over: %d", got.status)
	}
	if got := charge.get(t, takeOverPath("fern", id, "none")); got.status != http.StatusNotFound {
		t.Errorf("an infant that it does not name: %d", got.status)
	}
	posted = charge.takes(t, path)
	b.fern.clock.set(b.fern.clock.Now().Add(time.Minute))
	b.fern.chart(t, offered(t, []byte(`{"id":"00000000-0000-4000-8000-00000000bbbc","infant":"`+two[0].Infant+`","kind":"settings","at":"`+
		b.fern.clock.Now().Format(time.RFC3339)+`","by":"rn-agate","fio2Percent":98}`+"\n"))...)
	if got := charge.post(t, path, posted); got.status != http.StatusUnprocessableEntity ||
		!strings.Contains(got.body, "something was charted meanwhile") ||
		!strings.Contains(got.body, "1 entry was charted after it was signed") {
		t.Errorf("%d %s", got.status, got.body)
	}
	if got := charge.post(t, path, with(charge.takes(t, path), "readBack", "")); got.status != http.StatusUnprocessableEntity ||
		!strings.Contains(got.body, "Say whether it was read back") {
		t.Errorf("%d %s", got.status, got.body)
	}
}

// Of an infant who has a look-alike, the number is asked before it is taken over.
func TestTakingOverAsksWhich(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	nurse, charge := b.as(t, "nurse"), b.as(t, "charge")
	f := b.infant(t, true)
	done := mustGoOn(t, nurse.post(t, "/units/fern/handover/review", nurse.signs(t, "charge", f)))
	path := mustGoOn(t, charge.get(t, done+"/next"))
	if got := charge.get(t, path); !strings.Contains(got.body, "wristband") {
		t.Fatalf("%d %s", got.status, got.body)
	}
	if got := charge.post(t, path, url.Values{"digits": {"000"}}); got.status != http.StatusUnprocessableEntity ||
		!strings.Contains(got.body, "not the number") {
		t.Errorf("%d %s", got.status, got.body)
	}
	got := charge.post(t, path, url.Values{"digits": {numberOf(f)}})
	posted := with(shown(t, got.body), "readBack", "no", "without", "")
	got = charge.post(t, path, posted)
	mustGoOn(t, charge.post(t, path, shown(t, got.body)))
}

// A break: covered and handed back, the window of what changed stays where it was.
func TestBreakCover(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	nurse, charge := b.as(t, "nurse"), b.as(t, "charge")
	f := b.two(t)[0]
	review := "/units/fern/handover/review"
	done := mustGoOn(t, nurse.post(t, review, with(nurse.signs(t, "charge", f), "cover", "yes")))
	if said := texts(t, charge.get(t, "/units/fern/ward").body, "cots"); !strings.Contains(said, "cot "+f.Cot) {
		t.Errorf("the ward lists %q", said)
	}
	path := mustGoOn(t, charge.get(t, done+"/next"))
	mustGoOn(t, charge.post(t, path, charge.takes(t, path)))
	id := done[strings.LastIndex(done, "/")+1:]
	if got := nurse.get(t, review+"?back="+id); got.status != http.StatusNotFound {
		t.Errorf("who did not cover hands back: %d", got.status)
	}
	if home := charge.get(t, "/units/fern/handover").body; !strings.Contains(home, "/review?back="+id) {
		t.Error("there is no way back")
	}
	posted := shown(t, charge.get(t, review+"?back="+id).body)
	if !slices.Equal(posted["infant"], []string{f.Infant}) || posted.Get("other") != "nurse" || posted.Get("cover") != "yes" {
		t.Fatalf("%v", posted)
	}
	b.fern.clock.set(b.fern.clock.Now().Add(20 * time.Minute))
	posted = shown(t, charge.get(t, review+"?back="+id).body)
	back := mustGoOn(t, charge.post(t, review, posted))
	b.fern.clock.set(b.fern.clock.Now().Add(time.Minute))
	path = mustGoOn(t, nurse.get(t, back+"/next"))
	mustGoOn(t, nurse.post(t, path, nurse.takes(t, path)))
	for _, x := range look(t, b.fern.live()).Ward().Infants {
		if x.Infant == f.Infant && !x.Since.Equal(f.Since) {
			t.Errorf("the window moved from %s to %s", f.Since, x.Since)
		}
	}
	if said := texts(t, charge.get(t, "/units/fern/ward").body, "cots"); strings.Contains(said, "cot "+f.Cot) {
		t.Errorf("the ward lists %q", said)
	}
}

// Paper has the infants chosen and no other, is traced, names who printed it, and lets a
// browser use its own style sheet alone.
func TestPrint(t *testing.T) {
	t.Parallel()
	b := newServer(t, func(c *Config) { c.PDF = nil })
	v, two := b.as(t, "nurse"), b.two(t)
	got := v.post(t, "/units/fern/handover/print", url.Values{"infant": {two[0].Infant}, "form": {"html"}})
	if got.status != http.StatusOK || !strings.Contains(got.body, two[0].MRN) || strings.Contains(got.body, two[1].MRN) {
		t.Fatalf("%d %s", got.status, got.body)
	}
	_, rest, _ := strings.Cut(got.body, "<style>")
	sheet, _, _ := strings.Cut(rest, "</style>")
	sum := sha256.Sum256([]byte(sheet))
	if csp := got.header.Get("Content-Security-Policy"); strings.Contains(csp, "unsafe") ||
		!strings.Contains(csp, "sha256-"+base64.StdEncoding.EncodeToString(sum[:])) {
		t.Errorf("policy: %s", csp)
	}
	if name := got.header.Get("Content-Disposition"); !strings.Contains(name, "handover-fern-") || strings.Contains(name, two[0].Family) {
		t.Errorf("file: %s", name)
	}
	r, err := b.access.Trace(
		t.Context(),
		console,
		from,
		"fern",
		access.About{Infant: two[0].Infant, Kinds: []access.EventKind{access.Printed}},
	)
	if err != nil || len(r.Events) != 1 || r.Events[0].What != "html" || r.Events[0].Who != "nurse" {
		t.Errorf("%v %v", r.Events, err)
	}
	// As it was signed, whatever was charted since.
	charge := b.as(t, "charge")
	done := mustGoOn(t, v.post(t, "/units/fern/handover/review", v.signs(t, "charge", two[0])))
	id := done[strings.LastIndex(done, "/")+1:]
	on, _, err := b.fern.Signed(t.Context(), id)
	if err != nil {
		t.Fatal(err)
	}
	b.fern.clock.set(b.fern.clock.Now().Add(time.Minute))
	b.fern.chart(t, offered(t, []byte(`{"id":"00000000-0000-4000-8000-00000000bbbd","infant":"`+two[0].Infant+`","kind":"note","at":"`+
		b.fern.clock.Now().Format(time.RFC3339)+`","by":"rn-agate","text":"written since it was signed","readOut":true}`+"\n"))...)
	got = charge.post(t, "/units/fern/handover/print", url.Values{"signed": {id}})
	if got.status != http.StatusOK || !strings.Contains(got.body, on.Chain.String()[:12]) || !strings.Contains(got.body, two[0].MRN) ||
		strings.Contains(got.body, "written since") || strings.Contains(got.body, two[1].MRN) {
		t.Errorf("as signed: %d %s", got.status, got.body)
	}
	if got := charge.post(t, "/units/fern/handover/print", url.Values{"infant": {two[0].Infant}}); !strings.Contains(
		got.body,
		"written since",
	) {
		t.Errorf("as it is now: %d", got.status)
	}
	if got := charge.post(t, "/units/fern/handover/print", url.Values{"signed": {"none"}}); got.status != http.StatusNotFound {
		t.Errorf("none: %d", got.status)
	}
	for _, posted := range []url.Values{{"form": {"html"}}, {"infant": {"none"}}, {"infant": {two[0].Infant}, "form": {"pdf"}}} {
		if got := v.post(t, "/units/fern/handover/print", posted); got.status != http.StatusUnprocessableEntity {
			t.Errorf("%v: %d", posted, got.status)
		}
	}
}
