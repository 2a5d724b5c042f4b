package web

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// A keeper adds somebody, gives the link on, changes roles, locks and opens: the new one
// comes in by her own password, and what was done stands in what the keeper reads of it.
func TestKeeperKeepsPeople(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	keeper := b.as(t, "keeper")
	if page := keeper.get(t, "/units/fern/people").body; strings.Contains(page, "moss-nurse") || !strings.Contains(page, "charge") {
		t.Error("the people of a unit are not those of it")
	}
	add := url.Values{"name": {"Wren"}, "shown": {"Nurse <Wren>"}, "role": {"nurse"}}
	shown := mustGoOn(t, keeper.post(t, "/units/fern/people", add))
	if other := b.as(t, "keeper").get(t, shown).body; texts(t, other, "code") != "" {
		t.Error("another session is shown the link")
	}
	page := keeper.get(t, shown).body
	link := strings.TrimSpace(texts(t, page, "code"))
	if !strings.HasPrefix(link, "/link/") || !strings.Contains(page, "Nurse &lt;Wren&gt;") {
		t.Fatalf("%q\n%s", link, page)
	}
	for _, path := range []string{shown, "/units/fern/people"} { // loaded again, it makes no other and says so
		again := keeper.get(t, path).body
		if texts(t, again, "code") != "" || strings.Contains(texts(t, again, "problem"), "shown once") != (path == shown) {
			t.Errorf("%s, once more: %q %q", path, texts(t, again, "code"), texts(t, again, "problem"))
		}
	}
	wren := b.visitor(t)
	mustGoOn(t, wren.post(t, link, url.Values{"password": {accesstest.Password}, "again": {accesstest.Password}}))
	wren = b.as(t, "wren")
	if got := wren.get(t, "/units/fern/ward"); got.status != http.StatusOK {
		t.Errorf("a nurse who was added: %d", got.status)
	}

	done := func(path string, form url.Values) {
		t.Helper()
		if got := keeper.post(t, "/units/fern/people"+path, form); got.status != http.StatusOK || texts(t, got.body, "done") == "" {
			t.Errorf("%s: %d %s", path, got.status, texts(t, got.body, "problem"))
		}
	}
	done("/roles", url.Values{"name": {"wren"}, "role": {"clerk"}})
	if got := wren.get(t, "/units/fern/ward"); got.status != http.StatusNotFound {
		t.Errorf("a clerk sees infants: %d", got.status)
	}
	done("/lock", url.Values{"name": {"wren"}, "lock": {"yes"}})
	if got := wren.get(t, "/units/fern/tables"); got.status != http.StatusSeeOther {
		t.Errorf("who was locked is in still: %d", got.status)
	}
	done("/lock", url.Values{"name": {"wren"}, "lock": {"no"}})
	late := mustGoOn(t, keeper.post(t, "/units/fern/people/link", url.Values{"name": {"wren"}}))
	b.fern.clock.set(b.fern.clock.Now().Add(shownWithin + time.Second))
	if got := keeper.get(t, late).body; texts(t, got, "code") != "" {
		t.Error("a link is shown when nobody waits for it any more")
	}

	for what, form := range map[string]url.Values{
		"":       {"name": {"wren"}, "shown": {"Another"}, "role": {"nurse"}},
		"/roles": {"name": {"wren"}, "role": {"queen"}},
		"/lock":  {"name": {"moss-nurse"}, "lock": {"yes"}},
		"/link":  {"name": {"nobody-of-that-name"}},
	} {
		notDone(t, keeper, what, form)
	}
	notDone(t, keeper, "/link", url.Values{"name": {"moss-nurse"}})
	b.as(t, "moss-nurse")
	trace := keeper.get(t, "/units/fern/trace?who=wren").body
	for _, said := range []string{"add fern/nurse of wren", "roles fern/clerk of wren", "lock of wren", "open of wren", "reset of wren"} {
		if !strings.Contains(trace, said) {
			t.Errorf("the trace does not say %q", said)
		}
	}
}

// notDone posts to the people of fern what is refused there, and why is said.
func notDone(t *testing.T, keeper *visitor, path string, form url.Values) {
	t.Helper()
	got := keeper.post(t, "/units/fern/people"+path, form)
	if got.status != http.StatusUnprocessableEntity || texts(t, got.body, "problem") == "" {
		t.Errorf("%s %v: %d", path, form, got.status)
	}
}

// A keeper does not shut herself out by a slip; what she gives herself stands in the trace.
func TestKeeperStaysKeeper(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	keeper := b.as(t, "keeper")
	for path, form := range map[string]url.Values{
		"/lock":  {"name": {"keeper"}, "lock": {"yes"}},
		"/link":  {"name": {"keeper"}},
		"/roles": {"name": {"keeper"}, "role": {"nurse"}},
	} {
		notDone(t, keeper, path, form)
	}
	keeper.post(t, "/units/fern/people/roles", url.Values{"name": {"keeper"}, "role": {"nurse", "keeper"}})
	if got := keeper.get(t, "/units/fern/trace"); !strings.Contains(got.body, "roles fern/nurse fern/keeper of keeper") {
		t.Errorf("%d: it does not stand among what is looked at first", got.status)
	}
}

// Of who signs in at the hospital's a keeper is told that her roles come from there, and takes
// no password away that she has not.
func TestKeeperOfPeopleFromElsewhere(t *testing.T) {
	b, p := withProvider(t)
	v := b.visitor(t)
	q := v.sent(t, p, "/")
	if got := v.back(t, url.Values{"state": {q.Get("state")}, "code": {"the-code"}}); got.status != http.StatusSeeOther {
		t.Fatalf("%d %s", got.status, got.body)
	}
	page := b.as(t, "keeper").get(t, "/units/fern/people").body
	if n := strings.Count(page, "at the hospital’s sign-in"); n != 1 {
		t.Errorf("said of %d", n)
	}
	if strings.Contains(page, "make a link: maeve") || !strings.Contains(page, "make a link: nurse") ||
		!strings.Contains(page, "out everywhere: maeve") {
		t.Error("what can be done of whom is not what is told")
	}
}

// A keeper reads who looked beyond their unit and why, and who looked at one infant.
func TestKeeperReadsTheTrace(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	keeper, nurse, moss := b.as(t, "keeper"), b.as(t, "nurse"), b.as(t, "moss-nurse")
	f := look(t, b.fern.live()).Ward().Infants[0]
	mustGoOn(t, moss.post(t, "/beyond", url.Values{"unit": {"fern"}, "reason": {"nobody else is <near>"}}))
	nurse.get(t, infantPath("fern", f.Infant))
	first := keeper.get(t, "/units/fern/trace").body
	if !strings.Contains(first, "looked-beyond") || !strings.Contains(first, "nobody else is &lt;near&gt;") {
		t.Error("a look beyond is not told first")
	}
	if strings.Contains(first, "<td>read</td>") {
		t.Error("every read stands among what to look at first")
	}
	of := keeper.get(t, "/units/fern/trace?kind=all&infant="+f.Infant).body
	if !strings.Contains(of, "<td>nurse</td>") || !strings.Contains(of, "<td>read</td>") {
		t.Error("who looked at an infant is not told")
	}
	if got := keeper.get(t, "/units/fern/trace?kind=gossip"); got.status != http.StatusUnprocessableEntity {
		t.Errorf("an unknown kind: %d", got.status)
	}
	if strings.Contains(of, f.MRN) {
		t.Error("the trace tells a number")
	}
}

// A trace that is not what was kept says so first, and shows no chain to note.
func TestKeeperReadsADamagedTrace(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	keeper := b.as(t, "keeper")
	page := keeper.get(t, "/units/fern/trace").body
	if !strings.Contains(page, "What was read is held to its chain.") || strings.Contains(page, "!! The trace") {
		t.Error("a whole trace does not say that it is")
	}
	b.store.Change("fern", func(rows []access.Traced) []access.Traced {
		for i := range rows {
			rows[i].Text = strings.Replace(rows[i].Text, "keeper", "nurse", 1)
		}
		return rows
	})
	for _, path := range []string{"/units/fern/trace", "/units/fern/trace?whole=yes"} {
		page = keeper.get(t, path).body
		if !strings.Contains(page, "!! The trace is not what was kept") || strings.Contains(page, "held to its chain") {
			t.Errorf("%s: %.2000s", path, page)
		}
	}
	if got := keeper.get(t, "/units/fern/trace?days=9"); got.status != http.StatusUnprocessableEntity {
		t.Errorf("days that are none: %d", got.status)
	}
}

// A long trace is read a page at a time, latest first, each with the way to what was before;
// all of it is held to its chain where that is asked for.
func TestKeeperReadsALongTrace(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	keeper := b.as(t, "keeper")
	const all = 700
	var events []access.Noted
	for n := range all {
		events = append(events, access.Noted{Event: access.Event{Unit: "fern", Kind: access.Sent, Detail: fmt.Sprintf("part %d.", n)}})
	}
	if err := b.access.Notes(t.Context(), events); err != nil {
		t.Fatal(err)
	}
	path, next := "/units/fern/trace?kind=sent&days=31", all-1
	for pages := 1; path != ""; pages++ {
		page := keeper.get(t, path)
		if page.status != http.StatusOK || !strings.Contains(page.body, "What was read is held to its chain.") {
			t.Errorf("%s: %d", path, page.status)
		}
		for _, said := range regexp.MustCompile(`part (\d+)\.`).FindAllStringSubmatch(page.body, -1) {
			if said[1] != strconv.Itoa(next) {
				t.Fatalf("%s: part %s, not %d", path, said[1], next)
			}
			next--
		}
		path = ""
		if older := regexp.MustCompile(`href="([^"]*before=[^"]*)"`).FindStringSubmatch(page.body); older != nil {
			path = html.UnescapeString(older[1])
		}
		if done := next < 0; done != (path == "") || done && pages != 3 {
			t.Fatalf("page %d: %d are left, and on to %q", pages, next+1, path)
		}
	}
	whole := keeper.get(t, "/units/fern/trace?kind=sent&days=31&whole=yes").body
	if !strings.Contains(whole, "All of it is held to its chain.") || !strings.Contains(whole, "part 699.") ||
		strings.Contains(whole, "part 1.") {
		t.Error("all of it is not held to its chain")
	}
	for _, before := range []string{"x", "0", "-1", "99999999999999999999"} {
		if got := keeper.get(t, "/units/fern/trace?before="+before); got.status != http.StatusUnprocessableEntity {
			t.Errorf("before %s: %d", before, got.status)
		}
	}
}

// An account that cannot be read is named first, and the others are listed and kept as ever.
func TestKeeperSeesADamagedAccount(t *testing.T) {
	b := newServer(t, nil)
	keeper := b.as(t, "keeper")
	err := b.store.Write(t.Context(), func(tx access.Tx) error {
		item, found, err := tx.Get("person", "nurse")
		if err != nil || !found {
			t.Fatal(found, err)
		}
		item.Body = []byte("{")
		return tx.Put(item)
	})
	if err != nil {
		t.Fatal(err)
	}
	got := keeper.get(t, "/units/fern/people")
	if got.status != http.StatusOK || !strings.Contains(texts(t, got.body, "damaged"), "nurse") ||
		strings.Contains(got.body, "make a link: nurse") || !strings.Contains(got.body, "make a link: charge") {
		t.Errorf("%d %s", got.status, texts(t, got.body, "damaged"))
	}
	if got := keeper.post(t, "/units/fern/people/lock", url.Values{"name": {"charge"}, "lock": {"yes"}}); got.status != http.StatusOK {
		t.Errorf("the others cannot be kept: %d", got.status)
	}
}

// What is kept of looks may be damaged: the trace is read all the same, and that is said.
func TestKeeperReadsTheTraceBesideDamage(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	keeper, moss := b.as(t, "keeper"), b.as(t, "moss-nurse")
	mustGoOn(t, moss.post(t, "/beyond", url.Values{"unit": {"fern"}, "reason": {"nobody else is near"}}))
	err := b.store.Write(t.Context(), func(tx access.Tx) error {
		all, err := tx.List("look", "")
		if err != nil || len(all) != 1 {
			t.Fatal(all, err)
		}
		all[0].Body = []byte("{")
		return tx.Put(all[0])
	})
	if err != nil {
		t.Fatal(err)
	}
	got := keeper.get(t, "/units/fern/trace")
	if got.status != http.StatusOK || !strings.Contains(texts(t, got.body, "problem"), "damaged") ||
		!strings.Contains(got.body, "<td>looked-beyond</td>") {
		t.Errorf("%d %s", got.status, texts(t, got.body, "problem"))
	}
}
