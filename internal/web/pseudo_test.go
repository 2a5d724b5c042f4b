package web

import (
	"maps"
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strings"
	"testing"

	"golang.org/x/net/html"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/web/words"
)

// What the pages say is tried twice: TestNoTextOutside reads pages in a pseudo-locale, and
// TestEveryTextIsSaid the sources, for what no page of the test comes to.

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
	depth := 0 // of brackets: a text may hold another, and markup
	add := func(said string) {
		bare := strings.Map(func(r rune) rune {
			switch {
			case r == '⟦':
				depth++
			case r == '⟧':
				depth--
			case depth == 0:
				return r
			}
			return '\n'
		}, said)
		for piece := range strings.SplitSeq(bare, "\n") {
			if piece = squeezed(strings.Trim(piece, " \t.,;:!?()–")); letters.MatchString(piece) {
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

var letters = regexp.MustCompile(`\pL{2}`)

// alsoData are texts of the catalogue that the engine's sentences and the kinds say too.
var alsoData = []string{"NOT ACCEPTED", "NOT CHARTED", "a week", "h ago", "min ago", "not charted", "on since", "read back",
	"reference mark", "the unit", "Fr", "Oxygen sensor",
	"Cot", "Entries", "From"} // heads of tables, and fields of the kinds

// labels are those of the rows of the engine's faces and of the kinds of entries.
func labels(h *handover.Handover) map[string]bool {
	out, screen := map[string]bool{}, page.NewScreen(h)
	for _, k := range entry.Kinds {
		out[k.Label] = true
	}
	for _, text := range alsoData {
		out[text] = true
	}
	for _, f := range h.Infants {
		told := screen.Infant(f)
		for _, row := range slices.Concat(told.Short, told.Full) {
			out[row.Label] = true
		}
	}
	return out
}

// No page says a text that is not of the catalogue, but what is charted and what the
// engine's faces say of it.
func TestNoTextOutside(t *testing.T) {
	words.Speak(pseudo)
	t.Cleanup(func() { words.Speak(words.English) })
	b := newServer(t, nil)
	b.access.OpenID = &access.OpenID{Issuer: "http://127.0.0.1:1", ClientID: "cotline"}
	phrases, alone := map[string]string{}, map[string]string{}
	known, others := literals(t)
	for _, x := range []sources{known, others} {
		maps.Copy(phrases, x.phrases)
		maps.Copy(alone, x.alone)
	}
	ward := look(t, b.fern.live()).Ward()
	for label := range labels(ward) {
		delete(alone, label)
		delete(phrases, label)
	}
	left, said := map[string]string{}, map[string]bool{}
	read := func(where string, got result) {
		if got.status == http.StatusInternalServerError {
			t.Errorf("%s: %s", where, got.body)
		}
		if !strings.HasPrefix(got.header.Get("Content-Type"), "text/html") {
			return
		}
		for _, text := range marked.FindAllString(got.body, -1) {
			said[text] = true
		}
		for _, piece := range outside(t, got.body) {
			if at := alone[piece]; at != "" {
				left[piece] = at + ", of " + where
			}
			for phrase, at := range phrases {
				if strings.Contains(piece, phrase) {
					left[phrase] = at + ", of " + where
				}
			}
		}
	}
	f := ward.Infants[1]
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
	for _, piece := range slices.Sorted(maps.Keys(left)) {
		t.Errorf("%q, %s", piece, left[piece])
	}
	if t.Logf("%d texts", len(said)); len(said) < 250 {
		t.Error("most pages were not seen")
	}
}
