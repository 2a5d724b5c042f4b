package web

import (
	"net/http"
	"net/url"
	"regexp"
	"strings"
	"testing"
)

var wayOnTop = regexp.MustCompile(`<li><a href="([^"]+)"(?: aria-current="([^"]+)")?>([^<]+)</a></li>`)

// Whoever hands over has the way there on top of every page, and each page says where it is:
// itself, or beneath what the bar names. Who only looks at another unit finds it on its ward.
func TestWays(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	said := func(v *visitor, path string) (out []string) {
		got := v.get(t, path)
		if got.status != http.StatusOK && !strings.HasSuffix(path, "/none") {
			t.Fatal(path, got.status)
		}
		_, nav, _ := strings.Cut(got.body, `<nav aria-label="Pages">`)
		nav, _, _ = strings.Cut(nav, "</nav>")
		for _, x := range wayOnTop.FindAllStringSubmatch(nav, -1) {
			out = append(out, strings.TrimSuffix(x[3]+" "+x[2], " "))
		}
		return out
	}
	nurse, moss := b.as(t, "nurse"), b.as(t, "moss-nurse")
	mustGoOn(t, moss.post(t, "/beyond", url.Values{"unit": {"fern"}, "reason": {"nobody else is near"}}))
	for _, c := range []struct {
		v    *visitor
		path string
		want string
	}{
		{nurse, wardPath("fern"), "Ward page, Handover, Another unit, Your account"},
		{nurse, wardPath("fern") + "?order=urgency", "Ward page, Handover, Another unit, Your account"},
		{nurse, handoversPath("fern"), "Ward, Handover page, Another unit, Your account"},
		{nurse, handoversPath("fern") + "/review", "Ward, Handover true, Another unit, Your account"},
		{nurse, infantPath("fern", "in-01"), "Ward, Handover, Another unit, Your account"},
		{nurse, "/account", "Ward, Handover, Another unit, Your account page"},
		{nurse, handoversPath("fern") + "/none", "Ward, Handover, Another unit, Your account"},
		{b.as(t, "charge"), wardPath("fern"), "Ward page, Handover, Let in, Another unit, Your account"},
		{b.as(t, "clerk"), tablesPath("fern"), "Tables page, Your account"},
		{b.as(t, "keeper"), peoplePath("fern"), "People page, Who did what, Your account"},
		{moss, wardPath("fern"), "Ward fern page, Ward moss, Handover, Your account"},
	} {
		if got := strings.Join(said(c.v, c.path), ", "); got != c.want {
			t.Errorf("%s: %s; wanted %s", c.path, got, c.want)
		}
	}
	link := `<p><a href="` + handoversPath("fern") + `">Handover</a></p>`
	for v, want := range map[*visitor]bool{nurse: false, moss: true} {
		if is := strings.Contains(v.get(t, wardPath("fern")).body, link); is != want {
			t.Errorf("the ward leads to the handover: %t", is)
		}
	}
}
