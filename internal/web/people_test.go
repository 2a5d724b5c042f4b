package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"cotline/internal/access/accesstest"
)

// A keeper adds somebody, gives the link on, changes roles, locks and opens: the new one
// comes in by her own password, and what was done stands in what the keeper reads of it.
func TestKeeperKeepsPeople(t *testing.T) {
	b := newServer(t, nil)
	keeper := b.as(t, "keeper")
	if page := keeper.get(t, "/units/fern/people").body; strings.Contains(page, "moss-nurse") || !strings.Contains(page, "charge") {
		t.Error("the people of a unit are not those of it")
	}
	add := url.Values{"name": {"Wren"}, "shown": {"Nurse <Wren>"}, "role": {"nurse"}}
	page := keeper.post(t, "/units/fern/people", add).body
	link := strings.TrimSpace(texts(t, page, "code"))
	if !strings.HasPrefix(link, "/link/") || !strings.Contains(page, "Nurse &lt;Wren&gt;") {
		t.Fatalf("%q\n%s", link, page)
	}
	if again := keeper.get(t, "/units/fern/people").body; strings.Contains(again, link) {
		t.Error("the link is shown a second time")
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
	done("/link", url.Values{"name": {"wren"}})

	for what, form := range map[string]url.Values{
		"":       {"name": {"wren"}, "shown": {"Another"}, "role": {"nurse"}},
		"/roles": {"name": {"wren"}, "role": {"queen"}},
		"/lock":  {"name": {"keeper"}, "lock": {"yes"}},
		"/link":  {"name": {"nobody-of-that-name"}},
	} {
		got := keeper.post(t, "/units/fern/people"+what, form)
		if got.status != http.StatusUnprocessableEntity || texts(t, got.body, "problem") == "" {
			t.Errorf("%s: %d", what, got.status)
		}
	}
	if got := keeper.post(t, "/units/fern/people/lock", url.Values{"name": {"moss-nurse"}, "lock": {"yes"}}); got.status == http.StatusOK {
		t.Error("a keeper locked somebody of another unit")
	}
	trace := keeper.get(t, "/units/fern/trace?who=wren").body
	for _, said := range []string{"add fern/nurse of wren", "roles fern/clerk of wren", "lock of wren", "open of wren", "reset of wren"} {
		if !strings.Contains(trace, said) {
			t.Errorf("the trace does not say %q", said)
		}
	}
}

// A keeper reads who looked beyond their unit and why, and who looked at one infant.
func TestKeeperReadsTheTrace(t *testing.T) {
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
