package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"

	"cotline/handover"
	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// nodes are the elements of a page with a class.
func nodes(t testing.TB, text, class string) (out []*html.Node) {
	t.Helper()
	root, err := html.Parse(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	for n := range root.Descendants() {
		for _, a := range n.Attr {
			if a.Key == "class" && strings.Contains(" "+a.Val+" ", " "+class+" ") {
				out = append(out, n)
			}
		}
	}
	return out
}

func wordsOf(n *html.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == html.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// The ward has every infant in a line: all of its attention, "!!" beside what is now and
// nothing else, two identifiers and the cot, and the next moment.
func TestWardTellsEverybody(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	got := b.as(t, "nurse").get(t, "/units/fern/ward")
	h := look(t, b.fern.live()).Ward()
	lines := nodes(t, got.body, "line")
	if len(lines) != len(h.Infants) {
		t.Fatalf("%d lines", len(lines))
	}
	for i, f := range h.Infants {
		line := wordsOf(lines[i])
		var now []string
		for _, a := range f.Attention {
			if said := strings.Join(strings.Fields(a.Text), " "); !strings.Contains(line, said) {
				t.Errorf("%s: %q is not told", f.Cot, said)
			} else if a.Level == handover.Now {
				now = append(now, said)
			}
		}
		if strings.Count(line, "!!") != len(now) {
			t.Errorf("%s: %d marks for %v", f.Cot, strings.Count(line, "!!"), now)
		}
		for _, said := range now {
			if !strings.Contains(line, "!! "+said) {
				t.Errorf("%s: no mark before %q", f.Cot, said)
			}
		}
		wants := []string{f.Cot, "next "}
		if !f.Restricted {
			wants = append(wants, f.Family)
		} else if f.Family != "" && strings.Contains(got.body, f.Family) || !strings.Contains(line, "name not shown") {
			t.Errorf("%s: a restricted name", f.Cot)
		}
		for _, want := range append(wants, f.MRN) {
			if !strings.Contains(line, want) {
				t.Errorf("%s: no %q in %q", f.Cot, want, line)
			}
		}
	}
	if !strings.Contains(got.body, "Aid to handover") || !strings.Contains(got.body, "07:30") {
		t.Error("no caution, or no moment")
	}
}

// By urgency, whoever has more that needs a person now stands before whoever has less.
func TestWardByUrgency(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	before := 1 << 10
	for _, line := range nodes(t, b.as(t, "nurse").get(t, "/units/fern/ward?order=urgency").body, "line") {
		n := strings.Count(wordsOf(line), "!!")
		if n > before {
			t.Errorf("%d marks after %d", n, before)
		}
		before = n
	}
}

// Each infant has a page with its pictures; reading it is traced with its key, each time.
func TestInfantIsTraced(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "nurse")
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		got := v.get(t, infantPath("fern", f.Infant))
		if got.status != http.StatusOK || !strings.Contains(got.body, "<svg") || !strings.Contains(got.body, f.MRN) ||
			!strings.Contains(got.body, "Aid to handover") {
			t.Errorf("%s: %d", f.Cot, got.status)
		}
		v.get(t, infantPath("fern", f.Infant))
		about := access.About{Infant: f.Infant, Who: "nurse", Kinds: []access.EventKind{access.Read}}
		r, err := b.access.Trace(t.Context(), console, from, "fern", about)
		if err != nil || len(r.Events) != 2 || r.Events[0].What != "infant" {
			t.Errorf("%s: %v %v", f.Cot, r.Events, err)
		}
	}
}

// A page that is open asks for itself: it is told when nothing is new, gets its main part
// alone when something is, at once, and is traced once.
func TestRefresh(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "nurse")
	key := look(t, b.fern.live()).Ward().Infants[0].Infant
	tag := v.get(t, "/units/fern/ward").header.Get("ETag")
	ask := func() result {
		r := v.request(t, http.MethodGet, "/units/fern/ward", nil)
		r.Header.Set("X-Refresh", "1")
		r.Header.Set("If-None-Match", tag)
		return v.do(t, r)
	}
	if got := ask(); got.status != http.StatusNotModified || got.body != "" {
		t.Errorf("%d %q", got.status, got.body)
	}
	b.fern.chart(t, offered(t, []byte(`{"id":"00000000-0000-4000-8000-00000000bbbb","infant":"`+key+`","kind":"settings","at":"`+
		b.fern.clock.Now().Format(time.RFC3339)+`","by":"rn-agate","fio2Percent":99}`+"\n"))...)
	got := ask()
	if got.status != http.StatusOK || !strings.Contains(got.body, "99 %") || strings.Contains(got.body, "<html") {
		t.Errorf("%d %.200q", got.status, got.body)
	}
	r, err := b.access.Trace(t.Context(), console, from, "fern", access.About{Who: "nurse", Kinds: []access.EventKind{access.Read}})
	if err != nil || len(r.Events) != 1 || !r.Events[0].Whole {
		t.Errorf("%v %v", r.Events, err)
	}
	// It keeps no session open that nobody uses.
	for range 3 {
		b.fern.clock.set(b.fern.clock.Now().Add(access.DefaultLimits.Idle/3 + time.Second))
		got = ask()
	}
	if got.status != http.StatusUnauthorized {
		t.Errorf("not used for %s: %d", access.DefaultLimits.Idle, got.status)
	}
	if got := v.get(t, "/units/fern/ward"); got.status != http.StatusSeeOther {
		t.Errorf("%d", got.status)
	}
}

// A damaged record is told first, on every page of the unit.
func TestDamageIsToldFirst(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	l := b.units["fern"]
	look(t, l)
	l.kept.reading.Findings = append(l.kept.reading.Findings, finding)
	l.shown.Store(l.kept.compile(endOfMinute(b.fern.clock.Now())))
	v := b.as(t, "nurse")
	for _, path := range []string{"/units/fern/ward", infantPath("fern", "in-01")} {
		if got := v.get(t, path); len(nodes(t, got.body, "damaged")) != 1 {
			t.Errorf("%s does not tell it", path)
		}
	}
	for path, text := range v.kept(t).Pages {
		if len(nodes(t, text, "damaged")) != 1 {
			t.Errorf("%s, kept, does not tell it", path)
		}
	}
}

// The first keeper makes her account by the link, once.
func TestFirstKeeper(t *testing.T) {
	b := newServer(t, func(c *Config) {
		a, _, _ := accesstest.New("fern")
		a.Now = c.Now
		c.Access = a
	})
	token, err := b.Access.FirstKeeper(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	v, path := b.visitor(t), "/link/"+token
	if got := v.get(t, path); got.status != http.StatusOK || !strings.Contains(got.body, "first keeper") {
		t.Fatalf("%d", got.status)
	}
	form := url.Values{"name": {"dock"}, "shown": {"K. Dock"}, "password": {"short"}, "again": {"short"}}
	if got := v.post(t, path, form); got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "at least 15") {
		t.Errorf("%d %s", got.status, got.body)
	}
	form["password"] = []string{accesstest.Password}
	if got := v.post(t, path, form); got.status != http.StatusUnprocessableEntity || !strings.Contains(got.body, "differ") {
		t.Errorf("%d", got.status)
	}
	form["again"] = form["password"]
	if got := v.post(t, path, form); got.status != http.StatusSeeOther {
		t.Errorf("%d %s", got.status, got.body)
	}
	if got := v.get(t, path); got.status != http.StatusNotFound {
		t.Errorf("the link once more: %d", got.status)
	}
	if got := v.post(t, "/sign-in", url.Values{"name": {"dock"}, "password": form["password"]}); got.status != http.StatusSeeOther {
		t.Errorf("%d", got.status)
	}
	if got := v.get(t, "/"); got.header.Get("Location") != "/units/fern/people" {
		t.Errorf("a keeper comes to %q", got.header.Get("Location"))
	}
}

// A nurse sets a PIN on a shared device and changes over to herself; a session of hers can
// be ended by her from elsewhere.
func TestAccount(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	tablet, desk := b.as(t, "nurse"), b.as(t, "nurse")
	got := tablet.post(t, "/account/pin", url.Values{"password": {accesstest.Password}, "pin": {"111111"}})
	if got.status != http.StatusUnprocessableEntity {
		t.Errorf("%d", got.status)
	}
	got = tablet.post(t, "/account/pin", url.Values{"password": {accesstest.Password}, "pin": {"260381"}})
	if got.status != http.StatusOK {
		t.Errorf("%d %s", got.status, got.body)
	}
	tablet.post(t, "/sign-out", nil)
	if got := tablet.get(t, "/sign-in"); !strings.Contains(got.body, "Change over on this device") {
		t.Error("no way to change over")
	}
	if got := tablet.post(t, "/sign-in/pin", url.Values{"name": {"nurse"}, "pin": {"260381"}}); got.status != http.StatusSeeOther {
		t.Errorf("%d", got.status)
	}
	if got := desk.get(t, "/account"); strings.Count(got.body, ">End it<") != 2 {
		t.Errorf("%d sessions", strings.Count(got.body, ">End it<"))
	}
	desk.post(t, "/account/sessions/end", nil)
	if got := tablet.get(t, "/units/fern/ward"); got.status != http.StatusSeeOther {
		t.Errorf("an ended session: %d", got.status)
	}
	if got := desk.get(t, "/units/fern/ward"); got.status != http.StatusOK {
		t.Errorf("one's own: %d", got.status)
	}
}

// A page looks as was chosen for the device.
func TestTheme(t *testing.T) {
	b := newServer(t, nil)
	v := b.visitor(t)
	if got := v.post(t, "/theme", url.Values{"theme": {"dark"}, "back": {"/sign-in"}}); got.header.Get("Location") != "/sign-in" {
		t.Error(got.header)
	}
	if got := v.get(t, "/sign-in"); !strings.Contains(got.body, `data-theme="dark"`) || !strings.Contains(got.body, `content="dark"`) {
		t.Error("not dark")
	}
}

// A colleague who forgot her password is let in by the code that is read to her, once.
func TestLetInByPage(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	charge := b.as(t, "charge")
	if got := charge.post(t, "/let-in", url.Values{"name": {"keeper"}}); got.status != http.StatusUnprocessableEntity {
		t.Errorf("a keeper: %d", got.status)
	}
	shown := mustGoOn(t, charge.post(t, "/let-in", url.Values{"name": {"nurse"}}))
	got := charge.get(t, shown)
	if again := charge.get(t, shown).body; len(nodes(t, again, "code")) > 0 || !strings.Contains(again, "shown once") {
		t.Error("the code is shown a second time, or nothing is said")
	}
	codes := nodes(t, got.body, "code")
	if got.status != http.StatusOK || len(codes) != 1 {
		t.Fatalf("%d %s", got.status, got.body)
	}
	form := url.Values{"name": {"nurse"}, "code": {wordsOf(codes[0])}}
	v := b.visitor(t)
	if got := v.post(t, "/sign-in/code", form); got.status != http.StatusSeeOther {
		t.Errorf("%d", got.status)
	}
	if got := v.get(t, "/units/fern/ward"); got.status != http.StatusOK {
		t.Errorf("%d", got.status)
	}
	if got := b.visitor(t).post(t, "/sign-in/code", form); got.status != http.StatusForbidden {
		t.Errorf("once more: %d", got.status)
	}
}
