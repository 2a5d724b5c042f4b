//go:build outside

package web

import (
	"net/url"
	"testing"

	"cotline/internal/access"
)

type viewedPage struct {
	Name     string `json:"name"`
	Path     string `json:"path"`
	SignedIn bool   `json:"signedIn"`
	Open     bool   `json:"open"`
}

// axe-core finds nothing on any page, in both themes and on a phone, a tablet and a desk;
// no page is wider than the screen, and none says anything on the browser's console.
func TestPagesForEverybody(t *testing.T) {
	b := newServer(t, nil)
	b.access.OpenID = &access.OpenID{Issuer: "http://127.0.0.1:1"} // for its button
	infants := look(t, b.fern.live()).Ward().Infants
	token, err := b.access.Reset(t.Context(), console, from, "clerk")
	if err != nil {
		t.Fatal(err)
	}
	pages := []viewedPage{
		{"sign-in", "/sign-in", false, true}, {"link", "/link/" + token, false, true}, {"not-there", "/nothing", false, false},
		{"ward", "/units/fern/ward", true, false}, {"urgency", "/units/fern/ward?order=urgency", true, false},
		{"infant", infantPath("fern", infants[1].Infant), true, true}, {"no-number", infantPath("fern", infants[7].Infant), true, false},
		{"account", "/account", true, false}, {"let-in", "/let-in", true, false}, {"beyond", "/beyond", true, false},
		{"entries", infantPath("fern", infants[1].Infant) + "/entries", true, false},
		{"facts", infantPath("fern", infants[1].Infant) + "/facts", true, false},
		{"change-over", "/sign-in", true, true}, {"refused", "/units/moss/ward", true, false},
	}
	// What is laid out by width is looked at between the narrowest screen and the widest too,
	// and at 200 %, on a page of each layout.
	some := []string{"ward", "infant", "sign-in"}
	b.lookAt(t, "charge", pages, append(bothEnds,
		map[string]any{"name": "tablet", "theme": "dark", "width": 820, "height": 1180, "only": some},
		map[string]any{"name": "zoomed", "theme": "light", "width": 640, "height": 480, "only": some}), // 1280 at 200 %
		2*len(pages)+2*len(some))
}

// The same of what only a keeper sees.
func TestPagesForTheKeeper(t *testing.T) {
	b := newServer(t, nil)
	moss := b.as(t, "moss-nurse")
	mustGoOn(t, moss.post(t, "/beyond", url.Values{"unit": {"fern"}, "reason": {"nobody else is near"}}))
	pages := []viewedPage{{"people", peoplePath("fern"), true, false}, {"trace", tracePath("fern"), true, false}}
	b.lookAt(t, "keeper", pages, bothEnds, 2*len(pages))
}

// bothEnds are both themes, on the narrowest screen and on the widest.
var bothEnds = []map[string]any{
	{"name": "phone", "theme": "light", "width": 360, "height": 740}, {"name": "desk", "theme": "dark", "width": 1600, "height": 1000},
}

// lookAt has axe-core look at pages as somebody sees them, in some windows.
func (b *bench) lookAt(t *testing.T, name string, pages []viewedPage, windows []map[string]any, looks int) {
	t.Helper()
	said := b.drive(t, "look.mjs", map[string]any{"name": name, "pages": pages, "windows": windows})
	if len(said.looked) != looks {
		t.Errorf("%d pages were looked at: %v", len(said.looked), said.looked)
	}
}
