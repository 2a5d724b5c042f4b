package web

import (
	"fmt"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/web/words"
)

// In the pseudo-locale each text stands between brackets.
func pseudo(text string) string { return "⟦" + text + "⟧" }

var marked = regexp.MustCompile(`⟦[^⟦⟧]*⟧`)

// outside is what a page says beside its marked texts, a piece each: what people read, and
// what attributes tell them.
func outside(t testing.TB, text string) (out []string) {
	t.Helper()
	root, err := html.Parse(strings.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	add := func(said string) {
		for marked.MatchString(said) { // one may hold another
			said = marked.ReplaceAllString(said, "\n")
		}
		for piece := range strings.SplitSeq(said, "\n") {
			if piece = squeezed(strings.Trim(moment.ReplaceAllString(piece, ""), " \t.,;:!?()–")); letters.MatchString(piece) {
				out = append(out, piece)
			}
		}
	}
	for n := range root.Descendants() {
		switch {
		case drawn(n): // a face of the engine's
		case n.Type == html.TextNode && !slices.Contains([]string{"script", "style", "code"}, n.Parent.Data):
			add(n.Data)
		case n.Type == html.ElementNode:
			for _, a := range n.Attr {
				if slices.Contains([]string{"alt", "aria-label", "placeholder", "title"}, a.Key) {
					add(a.Val)
				}
			}
		}
	}
	return out
}

// drawn says whether a node stands in a picture.
func drawn(n *html.Node) bool {
	for ; n != nil; n = n.Parent {
		if n.Data == "svg" {
			return true
		}
	}
	return false
}

var (
	letters = regexp.MustCompile(`\pL{2}`)
	moment  = regexp.MustCompile(`((Mon|Tue|Wed|Thu|Fri|Sat|Sun)[a-z]* )?(\d+ [A-Z][a-z]{2,} (\d{4} )?)?\d\d:\d\d( \((first|second)\))?( [+-]\d\d:\d\d)?`)
)

// data is all that pages may say beside the catalogue: what the engine's faces say, the
// kinds of entries, the policy, and the record itself.
func data(t testing.TB, b *bench) string {
	t.Helper()
	var all strings.Builder
	for _, r := range []*record{b.fern, b.moss} {
		h := look(t, r.live()).Ward()
		screen := page.NewScreen(h)
		if err := page.Text(&all, h, page.Options{}); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintf(&all, "%s\n%s\n%+v\n%+v\n%+v\n", page.Caution, page.JSON(h), screen.Rest(), screen.Unit(), screen.Moment())
		for _, f := range h.Infants {
			fmt.Fprintf(&all, "%+v\n%+v\n%+v\n", screen.Line(f), screen.Infant(f), screen.Lacking(f))
		}
		fmt.Fprintf(&all, "%+v\n", r.policy)
	}
	for _, k := range entry.Kinds {
		fmt.Fprintf(&all, "%+v\n", k)
	}
	return squeezed(all.String())
}

// No page says a text that is not of the catalogue, but what is charted.
func TestNoTextOutside(t *testing.T) {
	words.Speak(pseudo)
	t.Cleanup(func() { words.Speak(words.English) })
	b := newServer(t, nil)
	b.access.OpenID = &access.OpenID{Issuer: "http://127.0.0.1:1", ClientID: "cotline"}
	known := data(t, b)
	left := map[string]string{}
	read := func(where string, got result) {
		if !strings.HasPrefix(got.header.Get("Content-Type"), "text/html") {
			return
		}
		for _, piece := range outside(t, got.body) {
			if !strings.Contains(known, piece) && left[piece] == "" {
				left[piece] = where
			}
		}
	}
	f := look(t, b.fern.live()).Ward().Infants[1]
	in := map[string]*visitor{"nobody": b.visitor(t)}
	for name := range people {
		in[name] = b.as(t, name)
	}
	for _, rt := range routes() {
		for _, sheet := range append(sheetsOf(f.Infant), sheetsOf("")...) {
			path := strings.NewReplacer("{unit}", "fern", "{infant}", f.Infant, "{token}", strings.Repeat("A", 43), "{version}", version,
				"{name}", "cotline.css", "{sheet}", sheet.name, "{entry}", "x").Replace(rt.path)
			for name, v := range in {
				if rt.method == http.MethodGet {
					read("GET "+path+" as "+name, v.get(t, path))
				} else if rt.path != "/sign-out" && rt.path != "/account/sessions/end" {
					read("POST "+path+" as "+name, v.post(t, path, url.Values{"token": {"00000000-0000-4000-8000-0000000000aa"}}))
				}
			}
			if !strings.Contains(rt.path, "{sheet}") {
				break
			}
		}
	}
	var said []string
	for piece, where := range left {
		said = append(said, fmt.Sprintf("%q, of %s", piece, where))
	}
	slices.Sort(said)
	for _, line := range said {
		t.Error(line)
	}
}
